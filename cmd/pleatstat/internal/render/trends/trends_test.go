package trends

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pleatstat/dataset"
	"pleatstat/stats/trend"
)

// massTrend returns a fit of can gauge on can mass, without its line.
func massTrend() *trend.Trend {
	t := &trend.Trend{Definition: trend.Definition{Response: "can_gauge", Predictor: "can_mass", Scale: trend.Linear}, N: 40, Per: trend.PerProduct}
	for i := range 40 {
		t.Points = append(t.Points, trend.Point{X: 45 + 2*float64(i)})
	}
	return t
}

// A claim is never stronger than its range: if the range of a slope includes no
// relation, the text says so.
func TestNoClaimBeyondTheRange(t *testing.T) {
	for _, base := range []trend.Trend{*massTrend(), {Definition: trend.Definition{Response: "price", Predictor: "media_area", Scale: trend.Log}, N: 60, Per: trend.PerProduct}} {
		for _, c := range []struct {
			low, high float64
			claims    bool
		}{{-0.1, 0.2, false}, {0, 0.2, false}, {0.01, 0.2, true}, {-0.2, -0.01, true}, {math.NaN(), math.NaN(), false}} {
			tr := base
			tr.Line.Slope, tr.Line.SlopeLow, tr.Line.SlopeHigh = (c.low+c.high)/2, c.low, c.high
			said := slopeSentence(&tr, dataset.Units{})
			if claims := !strings.Contains(said, "no clear relation"); claims != c.claims {
				t.Errorf("slope %g to %g: %q", c.low, c.high, said)
			}
		}
	}
}

func TestRoundStepIsRoundAndInsideTheSpan(t *testing.T) {
	u := dataset.Units{}
	tr := massTrend()
	step := roundStep(tr, u) * u.Of(tr.Predictor).PerBase
	ten := math.Pow(10, math.Floor(math.Log10(step)+1e-9))
	if lead := math.Round(step / ten); !slices.Contains([]float64{1, 2, 5}, lead) || math.Abs(step/ten-lead) > 1e-9 {
		t.Errorf("a step of %g", step)
	}
	if span := tr.Points[len(tr.Points)-1].X - tr.Points[0].X; step > span || step < span/20 {
		t.Errorf("a step of %g over a span of %g", step, span)
	}
	tr.Points = tr.Points[:1]
	if got := roundStep(tr, u); !(got > 0) {
		t.Errorf("one point gives a step of %g", got)
	}
}
