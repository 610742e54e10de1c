package robust

import (
	"math"
	"testing"
)

// One gross outlier in a regression of gauge on mass once drove the scale to
// 1e-288: Newton's step was unbounded for a guess far above the root.
func TestResidualScaleFromAGuessFarAbove(t *testing.T) {
	r := make([]float64, 59)
	for i := range r {
		r[i] = 0.05 * math.Sin(float64(3*i+1))
	}
	r[39] = 1.8
	want := residualScale(r, 2, 0.03, 0)
	if !(want > 0.02 && want < 0.06) {
		t.Fatalf("scale from a good guess is %g", want)
	}
	for _, guess := range []float64{1e-9, 0.3, 1, 10, 1e6, math.Inf(1)} {
		if got := residualScale(r, 2, guess, 0); math.Abs(got-want) > 1e-10*want {
			t.Errorf("guess %g: scale %g, want %g", guess, got, want)
		}
	}
}
