package baseline

import (
	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

// Flags returns the q-values of all parts, for being above the line, by an oracle
// that knows which parts are clean. It fits the line to those by least squares
// and tests the prediction residual of every part.
func Flags(m sim.Sample) ([]float64, error) {
	var area, price []float64
	for i, bad := range m.Planted {
		if !bad {
			area, price = append(area, m.Area[i]), append(price, m.Price[i])
		}
	}
	f, err := linear.LeastSquares(linear.Design{Names: []string{"area"}, Columns: [][]float64{area}}, price)
	if err != nil {
		return nil, err
	}
	p := make([]float64, len(m.Planted))
	k := 0
	for i, bad := range m.Planted {
		if bad {
			fit, se := f.PredictionSE([]float64{m.Area[i]})
			p[i] = upperTail((m.Price[i]-fit)/se, f.DF)
		} else {
			p[i] = upperTail(f.Deleted[k], f.DF-1)
			k++
		}
	}
	return num.BenjaminiHochberg(p)
}

func upperTail(t float64, df int) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}.CDF(-t)
}
