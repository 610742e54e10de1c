package datecode

import "testing"

// A code is plausible from ten years before the opening to two weeks after it.
func TestDatesOfACodeRules(t *testing.T) {
	for made, dated := range map[float64]bool{2009.99: false, 2010.01: true, 2020 + 13/365.25: true, 2020 + 15/365.25: false} {
		if plausible(Span{made, made}, 2020) != dated {
			t.Errorf("made %.3f, opened 2020: a date %t", made, !dated)
		}
	}
}
