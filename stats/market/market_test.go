package market

import (
	"math"
	"math/rand/v2"
	"testing"

	"pleatstat/stats/num"
)

// prices returns log prices by maker and part, five parts each. A part of each maker
// is bought every two months for six years; move gives the change of a maker's
// prices at a time.
func prices(makers int, noise float64, move func(maker int, t float64) float64) [][]num.Series {
	rng := rand.New(rand.NewPCG(8, 15))
	out := make([][]num.Series, makers)
	for m := range out {
		out[m] = make([]num.Series, 5)
		for i := range 36 {
			t := float64(i) / 6
			s := &out[m][i%5]
			s.T, s.Y = append(s.T, t), append(s.Y, 2+0.1*float64(i%5)+move(m, t)+noise*rng.NormFloat64())
		}
	}
	return out
}

// A curve needs at least 2 other makers, with 5 openings per term, not counting the
// first of each part.
func TestMarketRules(t *testing.T) {
	for _, c := range []struct {
		others []int // openings of one part of each
		known  bool
	}{{[]int{9}, false}, {[]int{9, 9}, true}, {[]int{3, 3}, false}, {[]int{3, 4}, true}} {
		var makers [][]num.Series
		for m, n := range append([]int{8}, c.others...) {
			s := num.Series{T: make([]float64, n), Y: make([]float64, n)}
			for i := range n {
				s.T[i], s.Y[i] = 40*float64(i)/365, math.Log(8+0.1*float64((i+m)*(i+m)%5))
			}
			makers = append(makers, []num.Series{s})
		}
		if got := Others(makers)[0].Known(); got != c.known {
			t.Errorf("openings of other makers %v: known %t", c.others, got)
		}
	}
}

// Without noise the curve is recovered exactly, whatever the maker that is left out
// does; with noise approximately, also if one of the other makers moves differently
// and another has an entry error.
func TestCurveIsTheMovementOfTheOthers(t *testing.T) {
	const bend = 35.0 / 12 // in the middle of the dates, where the curve has a knot
	together := func(t float64) float64 { return 0.03*t + 0.04*math.Max(0, t-bend) }
	own := func(maker int, t float64) float64 {
		if maker == 0 {
			return together(t) - 0.1*t
		}
		return together(t)
	}
	worst := func(c Curve) float64 {
		off := 0.0
		for at := 0.0; at < 5.8; at += 0.1 {
			off = math.Max(off, math.Abs(c.At(at)-c.At(0)-together(at)))
		}
		return off
	}
	if off := worst(Others(prices(4, 0, own))[0]); off > 1e-9 {
		t.Errorf("%g off a curve without noise", off)
	}
	noisy := prices(12, 0.02, func(maker int, t float64) float64 {
		if maker == 5 {
			return together(t) + 0.2*t
		}
		return own(maker, t)
	})
	noisy[7][2].Y[3] += math.Log(10)
	c := Others(noisy)[0]
	if off := worst(c); off > 0.02 {
		t.Errorf("%g off the curve, one maker apart and one slip", off)
	}
	moved, extra := c.Remove(noisy[0])
	for k, s := range moved {
		for i, at := range s.T {
			if want := noisy[0][k].Y[i] - c.At(at); math.Abs(s.Y[i]-want) > 1e-12 {
				t.Fatalf("part %d: %g at %g, want %g", k, s.Y[i], at, want)
			}
		}
	}
	// From about 350 prices over six years the slope of the market has a standard
	// error of about 0.02/(6/√12·√350).
	if se := math.Sqrt(extra); se < 0.0002 || se > 0.002 {
		t.Errorf("the market adds %g to the standard error of a slope", se)
	}
}
