package page

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot"
)

func written(ticks []plot.Tick) string {
	var s []string
	for _, t := range ticks {
		s = append(s, t.Label)
	}
	return strings.Join(s, " ")
}

func TestTicksStandAtRoundNumbers(t *testing.T) {
	for got, want := range map[string]string{
		written(linearTicks(0, 10, 1, 6)):              "0 2 4 6 8 10",
		written(linearTicks(-0.06, 0.06, 1, 4)):        "−0.05 0.00 0.05",
		written(linearTicks(25.4, 76.2, 1/25.4, 5)):    "1.0 1.5 2.0 2.5 3.0",
		written(linearTicks(0, 30000, 1, 3)):           "0 10 000 20 000 30 000",
		written(logTicks(1, 1000, 1, 12)):              "1 2 5 10 20 50 100 200 500 1000",
		written(logTicks(2, 30, 1, 10)):                "2 5 10 20",
		written(logTicks(2.9, 22, 1, 10)):              "3 5 7 10 20",
		written(logTicks(1e-3, 1e9, 1, 5)):             "0.001 1 1000 1 000 000 1 000 000 000",
		written(logTicks(64.516, 645.16, 1/6.4516, 8)): "10 20 50 100",
		written(linearTicks(5, 5, 1, 4)):               "",
		written(logTicks(0, 5, 1, 4)):                  "",
		written(linearTicks(math.NaN(), 1, 1, 4)):      "",
	} {
		if got != want {
			t.Errorf("ticks %q, want %q", got, want)
		}
	}
}

// The fine ticks of a logarithmic axis are 1 to 9 in each decade, as on a slide rule,
// and closer within one decade.
func TestFineTicksOfLogAxes(t *testing.T) {
	for _, c := range []struct {
		min, max, k float64
		want        []float64
	}{
		{1, 100, 1, []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100}},
		{0.1, 0.3, 100, []float64{0.10, 0.11, 0.12, 0.13, 0.14, 0.15, 0.16, 0.17, 0.18, 0.19, 0.20, 0.22, 0.24, 0.26, 0.28, 0.30}},
		{1, 1e6, 1, nil}, {0, 10, 1, nil}, {5, 5, 1, nil}, {1, math.Inf(1), 1, nil},
	} {
		got := between(c.min, c.max, c.k)
		if len(got) != len(c.want) {
			t.Errorf("%g to %g: %v, want %v", c.min, c.max, got, c.want)
			continue
		}
		for i := range got {
			if math.Abs(got[i]/c.want[i]-1) > 1e-9 {
				t.Errorf("%g to %g: %v, want %v", c.min, c.max, got, c.want)
				break
			}
		}
	}
}
