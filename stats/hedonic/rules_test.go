package hedonic

import "testing"

// A lower price for more contents is accepted from 3 standard errors on.
func TestEffectsOnBothSidesOfTheRule(t *testing.T) {
	for _, c := range []struct {
		errors   float64
		sensible bool
	}{{-2.9, false}, {-3.1, true}, {-0.1, false}, {0.1, true}} {
		one := newNormalEquations(1)
		one.a[0] = 100 - 1 // with the prior's 1, a standard error of a tenth of the scale
		one.b[0] = c.errors * 0.1 * 100
		s := newSubsets(one, 50, 1, []int{0}, []int{1})
		got, err := s.sensible(&subset{contents: 1, hold: 1})
		if err != nil || got != c.sensible {
			t.Errorf("%g standard errors: %t, %v", c.errors, got, err)
		}
	}
}
