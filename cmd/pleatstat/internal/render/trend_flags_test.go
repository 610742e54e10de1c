package render

import (
	"math"
	"strings"
	"testing"

	"pleatstat/stats/trend"
)

func TestCertaintySaysWhatAFlagRestsOn(t *testing.T) {
	for _, c := range []struct {
		flag trend.Flag
		want string
	}{
		{trend.Flag{Kind: trend.Overpriced, Strength: trend.Look, Q: 0.2, QTails: 0.3}, "worth a second look; q = 0.2"},
		{trend.Flag{Kind: trend.Overpriced, Strength: trend.Clear, Q: 0.01, QTails: math.NaN()}, "clear; q = 0.01"},
		{trend.Flag{Kind: trend.Overpriced, Strength: trend.Clear, Q: 0.01, QTails: 0.04}, "clear; q = 0.01, counting the chance of long tails q = 0.04"},
		{trend.Flag{Kind: trend.Bargain, Strength: trend.Clear, Q: 0.01, QTails: 0.06}, "clear unless prices have long tails; q = 0.01, counting the chance of that q = 0.06"},
		{trend.Flag{Kind: trend.OffTrend, Strength: trend.Clear, Q: 0.01, QTails: 0.06}, "clear unless readings have long tails; q = 0.01, counting the chance of that q = 0.06"},
	} {
		if got := strings.ReplaceAll(certainty(c.flag), nbsp, " "); got != c.want {
			t.Errorf("certainty %q, want %q", got, c.want)
		}
	}
}
