package trend

import "testing"

// A gauge agrees with its can's mass and size up to a tenth from the implied
// gauge; the number is repeated here on purpose.
func TestGaugeAgreesRule(t *testing.T) {
	for observed, agrees := range map[float64]bool{0.4396: true, 0.4404: false, 0.3640: true, 0.3633: false} {
		if got := ofSize(observed, 0.60, 0.40); got != agrees {
			t.Errorf("%g mm where mass and size make it 0.40: %t", observed, got)
		}
	}
}
