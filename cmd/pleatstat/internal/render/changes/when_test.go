package changes

import (
	"testing"
	"time"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/stats/drift"
)

// The dates between which a change came must not read as its duration.
func TestWhenAChangeMayHaveCome(t *testing.T) {
	day := func(year, month int) time.Time { return time.Date(year, time.Month(month), 5, 0, 0, 0, 0, time.UTC) }
	for want, told := range map[string]drift.Statement{
		"between March and November 2023":            {Shape: drift.AsStep, Early: day(2023, 3), Late: day(2023, 11)},
		"began between December 2021 and April 2022": {Shape: drift.AsSlopeSince, Early: day(2021, 12), Late: day(2022, 4)},
	} {
		if got := wording.Spaced(came(drift.Entry{Statement: told})); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
