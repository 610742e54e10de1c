package outlier

import (
	"encoding/binary"
	"math"
	"testing"

	"pleatstat/stats/linear"
	"pleatstat/stats/robust"
)

// Whatever the numbers, q-values are probabilities, ranges are in order and
// nothing panics.
func FuzzFit(f *testing.F) {
	seed := func(v ...float64) {
		var b []byte
		for _, x := range v {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(x))
		}
		f.Add(b)
	}
	seed(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 1, 2, 3, 4, 5, 6, 7, 8, 9, 30)
	seed(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5)
	seed(1, 1e200, 3, -1e200, 5, 6, 1e-200, 8, 2, 1e300, 4, 4, 1e-300, 0)
	f.Fuzz(func(t *testing.T, data []byte) {
		var v []float64
		for ; len(data) >= 8; data = data[8:] {
			v = append(v, math.Float64frombits(binary.LittleEndian.Uint64(data)))
		}
		n := len(v) / 2
		x, y := v[:n], v[n:2*n]
		start, err := robust.RobustLine(linear.Design{Columns: [][]float64{x}}, y, robust.RobustOptions{})
		if err != nil {
			return
		}
		m, err := Fit([][]float64{x}, y, Start{start.Fitted, start.Scale})
		if err != nil {
			return
		}
		for _, e := range []Evidence{m.High, m.Low, TwoSided(m.High, m.Low)} {
			clear, probable, err := e.Q()
			if err != nil {
				t.Fatal(err)
			}
			for i := range clear {
				if !(0 <= probable[i] && probable[i] <= clear[i] && clear[i] <= 1) {
					t.Fatalf("row %d: q clear %v, probable %v", i, clear[i], probable[i])
				}
			}
		}
		if _, low, high := m.Ranges([][]float64{x[:1]}, 0.95); !(low[0] <= high[0]) {
			t.Fatalf("range %v to %v", low[0], high[0])
		}
	})
}
