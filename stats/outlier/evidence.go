package outlier

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"pleatstat/stats/num"
)

const (
	// Level is the false discovery rate of clear and of probable outliers.
	Level = 0.05
	// anyLevel is the limit on q averaged over all shapes at which Level is kept in
	// each kind of market, with the chances of shapes and shifts; chosen together by
	// simulation, over markets of 60, 120 and 300 rows.
	anyLevel = 0.08
)

// Evidence against rows: the p of an honest one to lie so far off, if scatter is
// normal, of the likeliest shape, and averaged over all shapes.
type Evidence struct{ Even, Likeliest, Any []float64 }

func newEvidence(n int) Evidence {
	return Evidence{make([]float64, n), make([]float64, n), make([]float64, n)}
}

// TwoSided is the evidence of lying off on either side.
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

// Q is the evidence corrected over all rows (Y. Benjamini and Y. Hochberg (1995), J.
// R. Stat. Soc. B 57, 289-300). A row with probable of Level at most is an outlier
// if honest rows scatter evenly; with clear of Level at most it is one in every
// kind of market: under even scatter, under the likeliest shape, and on the
// average over all shapes, whose q is given in units of its own limit.
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

// judge fills in the evidence against row i, which lies at y.
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
		even = likeliest // the rows rule even scatter out
	}
	for _, of := range []struct {
		high, low *float64
		above     float64
	}{{&m.High.Even[i], &m.Low.Even[i], even}, {&m.High.Likeliest[i], &m.Low.Likeliest[i], likeliest}, {&m.High.Any[i], &m.Low.Any[i], any}} {
		*of.high = math.Max(0, math.Min(1, of.above))
		*of.low = 1 - *of.high
	}
}
