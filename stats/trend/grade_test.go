package trend

import "testing"

// Both sides of each rule.
func TestGradesOnBothSidesOfEachRule(t *testing.T) {
	sure, unsure := FalseDiscoveryRate-0.001, FalseDiscoveryRate+0.001
	for name, c := range map[string]struct {
		e    Evidence
		want Grade
	}{
		"a quarter above, sure":         {Evidence{125, 100, 90, 110, Tail{Q: sure, QClear: sure}}, Clear},
		"just under a quarter above":    {Evidence{124.9, 100, 90, 110, Tail{Q: sure, QClear: sure}}, Hint},
		"a fifth below, sure":           {Evidence{80, 100, 90, 110, Tail{Q: sure, QClear: sure}}, Clear},
		"just under a fifth below":      {Evidence{80.1, 100, 90, 110, Tail{Q: sure, QClear: sure}}, Hint},
		"sure only if scatter is even":  {Evidence{130, 100, 90, 110, Tail{Q: sure, QClear: unsure}}, Probable},
		"the same, under a quarter":     {Evidence{124.9, 100, 90, 110, Tail{Q: sure, QClear: unsure}}, Hint},
		"at the rate itself":            {Evidence{130, 100, 90, 110, Tail{Q: 0.05, QClear: 0.05}}, Clear},
		"just beyond the rate":          {Evidence{130, 100, 90, 110, Tail{Q: 0.051, QClear: 0.051}}, Hint},
		"not sure, outside its range":   {Evidence{130, 100, 90, 110, Tail{Q: unsure, QClear: unsure}}, Hint},
		"not sure, below its range":     {Evidence{80, 100, 90, 110, Tail{Q: unsure, QClear: unsure}}, Hint},
		"at the end of its range":       {Evidence{110, 100, 90, 110, Tail{Q: unsure, QClear: unsure}}, AsExpected},
		"inside its range, a third off": {Evidence{133, 100, 70, 140, Tail{Q: unsure, QClear: unsure}}, AsExpected},
	} {
		if got := c.e.Grade(); got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

// 7 points give no line and 8 do; below 20 a line comes with a warning, at 20
// without. The numbers are repeated here on purpose.
func TestCountsOnBothSidesOfEachRule(t *testing.T) {
	for _, c := range []struct {
		n               int
		tooFew, caution bool
	}{{7, true, false}, {8, false, true}, {19, false, true}, {20, false, false}} {
		tr := fitPrice(t, market(c.n, nil, 3), Options{})
		caution := false
		for _, w := range tr.Warnings {
			caution = caution || w == cautionWords(c.n)
		}
		if tr.TooFew != c.tooFew || caution != c.caution {
			t.Errorf("%d points: too few %t, caution %t (%q)", c.n, tr.TooFew, caution, tr.Warnings)
		}
	}
}

func cautionWords(n int) string {
	tr := Trend{N: n, Per: PerProduct}
	return tr.caution()
}

// Prediction ranges hold 95 % of the points: a line through many normal points
// has about 1.96 standard deviations on either side.
func TestRangesHoldNineteenOfTwentyRule(t *testing.T) {
	tr := fitPrice(t, market(2000, nil, 5), Options{})
	outside := 0
	for i := range tr.Points {
		if tr.Evidence(i).Side() != 0 {
			outside++
		}
	}
	// Binomial: 100 expected of 2,000, standard deviation 9.7.
	if outside < 65 || outside > 135 {
		t.Errorf("%d of 2000 points outside their range, want about 100", outside)
	}
	if tr.Line.Confidence != 0.95 {
		t.Errorf("confidence %v", tr.Line.Confidence)
	}
}
