package outlier

import "testing"

// A row is a clear outlier if its q is at most 0.05 under normal scatter and under
// the likeliest shape, and at most 0.08 on average over all shapes. The limits are
// repeated here on purpose.
func TestLevelRules(t *testing.T) {
	for _, c := range []struct {
		even, likeliest, any float64
		clear, probable      bool
	}{
		{0.049, 0.049, 0.079, true, true}, {0.051, 0.01, 0.01, false, false},
		{0.01, 0.051, 0.01, false, true}, {0.01, 0.01, 0.081, false, true},
	} {
		clear, probable, err := Evidence{[]float64{c.even}, []float64{c.likeliest}, []float64{c.any}}.Q()
		if err != nil || (clear[0] <= 0.05) != c.clear || (probable[0] <= 0.05) != c.probable {
			t.Errorf("%+v: q %.4f, %.4f, %v", c, clear[0], probable[0], err)
		}
	}
}
