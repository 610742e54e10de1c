package outlier

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"pleatstat/stats/num"
)

const (
	// Level is the false discovery rate for clear and for probable outliers.
	Level = 0.05
	// anyLevel is the limit on the q-value of Evidence.Any. It was chosen together
	// with the priors of shapes and shifts, by simulation of markets of 60, 120 and
	// 300 rows, so that Level holds in each kind of market.
	anyLevel = 0.08
)

// Evidence holds, for each row, the p-value of an honest row lying so far off: if
// scatter is normal (Even), if it has the likeliest shape, and averaged over all
// shapes (Any).
type Evidence struct{ Even, Likeliest, Any []float64 }

func newEvidence(n int) Evidence {
	return Evidence{make([]float64, n), make([]float64, n), make([]float64, n)}
}

// TwoSided combines the evidence of the two sides into two-sided p-values.
func TwoSided(high, low Evidence) Evidence {
	two := func(a, b []float64) []float64 {
		out := make([]float64, len(a))
		for i := range a {
			out[i] = math.Min(1, 2*math.Min(a[i], b[i]))
		}
		return out
	}
	return Evidence{two(high.Even, low.Even), two(high.Likeliest, low.Likeliest), two(high.Any, low.Any)}
}

// Q returns q-values adjusted over all rows (Y. Benjamini and Y. Hochberg (1995), J.
// R. Stat. Soc. B 57, 289-300). A row with probable <= Level is an outlier if
// honest scatter is normal. A row with clear <= Level is one under normal scatter,
// under the likeliest shape and on average over all shapes; the q of the last is
// rescaled so that its own limit, anyLevel, becomes Level.
func (e Evidence) Q() (clear, probable []float64, err error) {
	probable, err = num.BenjaminiHochberg(e.Even)
	if err != nil {
		return nil, nil, err
	}
	clear = slices.Clone(probable)
	for _, of := range []struct {
		p     []float64
		limit float64
	}{{e.Likeliest, Level}, {e.Any, anyLevel}} {
		q, err := num.BenjaminiHochberg(of.p)
		if err != nil {
			return nil, nil, err
		}
		for i := range q {
			clear[i] = math.Min(1, math.Max(clear[i], q[i]*Level/of.limit))
		}
	}
	return clear, probable, nil
}

// judge sets the evidence against row i, whose response less the start is y.
func (m *Model) judge(i int, z []float64, y, along float64) {
	top := floats.MaxIdx(m.odds)
	var even, likeliest, any float64
	for k := range m.components {
		c := &m.components[k]
		d := m.predict(c, z, along)
		p := c.suspect * d.above(y)
		any += p
		if c.shape == 0 {
			even += p
		}
		if c.shape == top {
			likeliest += p
		}
	}
	likeliest /= m.odds[top]
	if m.odds[0] > 0 {
		even /= m.odds[0]
	} else {
		even = likeliest // the rows rule out normal scatter
	}
	for _, of := range []struct {
		high, low *float64
		above     float64
	}{{&m.High.Even[i], &m.Low.Even[i], even}, {&m.High.Likeliest[i], &m.Low.Likeliest[i], likeliest}, {&m.High.Any[i], &m.Low.Any[i], any}} {
		*of.high = math.Max(0, math.Min(1, of.above))
		*of.low = 1 - *of.high
	}
}
