package baseline

import (
	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

// Flags are the q-values, one a part, of an oracle who knows which parts are clean:
// least squares on those, one-sided prediction residuals for all.
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
