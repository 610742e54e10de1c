package outlier

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
)

func TestShapesAreStandardised(t *testing.T) {
	for _, s := range shapes() {
		var moments [5]float64
		for k := range moments {
			moments[k] = quad.Fixed(func(x float64) float64 {
				u := 60 * x * x * x
				log, _ := s.logDensity(u)
				return math.Pow(u, float64(k)) * math.Exp(log) * 180 * x * x
			}, -1, 1, 2000, nil, 0)
		}
		for k, want := range []float64{1, 0, 1} {
			if math.Abs(moments[k]-want) > 2e-4 {
				t.Errorf("%s: moment %d is %v", s.Name, k, moments[k])
			}
		}
	}
}
