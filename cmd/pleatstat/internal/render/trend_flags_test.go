package render

import (
	"strings"
	"testing"

	"pleatstat/stats/trend"
)

func TestCertaintySaysWhatAFlagRestsOn(t *testing.T) {
	for _, c := range []struct {
		flag trend.Flag
		want string
	}{
		{trend.Flag{Kind: trend.Overpriced, Strength: trend.Look, Q: 0.2, QClear: 0.3}, "worth a second look; q = 0.2"},
		{trend.Flag{Kind: trend.Overpriced, Strength: trend.Clear, Q: 0.01, QClear: 0.04}, "clear; q = 0.04"},
		{trend.Flag{Kind: trend.Bargain, Strength: trend.Probable, Q: 0.01, QClear: 0.06}, "probable; q = 0.01"},
	} {
		if got := strings.ReplaceAll(certainty(c.flag), nbsp, " "); got != c.want {
			t.Errorf("certainty %q, want %q", got, c.want)
		}
	}
}
