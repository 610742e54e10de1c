package trends

import (
	"testing"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/stats/trend"
)

func TestCertaintySaysWhatAFlagRestsOn(t *testing.T) {
	for _, c := range []struct {
		flag trend.Flag
		want string
	}{
		{trend.Flag{Kind: trend.Overpriced, Grade: trend.Hint, Tail: trend.Tail{Q: 0.2, QClear: 0.3}}, "a hint; q = 0.2"},
		{trend.Flag{Kind: trend.OffTrend, Grade: trend.Probable, Tail: trend.Tail{Q: 0.01, QClear: 0.06}}, "probable; q = 0.01"},
		{trend.Flag{Kind: trend.OffTrend, Grade: trend.Clear, Tail: trend.Tail{Q: 0.01, QClear: 0.04}}, "clear; q = 0.04"},
	} {
		if got := wording.Spaced(certainty(c.flag)); got != c.want {
			t.Errorf("certainty %q, want %q", got, c.want)
		}
	}
}

func TestHowFarAPointIsOff(t *testing.T) {
	for ratio, want := range map[float64]string{1.94: "94 % above", 1.96: "at 2.0 times", 0.5: "50 % below", 0.9992: "0.08 % below"} {
		if got := wording.Spaced(offBy(ratio)); got != want {
			t.Errorf("%g is %q, want %q", ratio, got, want)
		}
	}
}
