package changes

import (
	"testing"
	"time"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/stats/drift"
)

// A country that changed with the readings comes first in the sentence.
func TestOriginFirst(t *testing.T) {
	both := drift.Statement{OriginNow: "Varnia", OriginThen: "Ostermark"}
	for _, c := range []struct {
		e          drift.Entry
		said, want string
	}{
		{drift.Entry{}, "Around May 2024 Lowmere's filters lost a pleat.", "Around May 2024 Lowmere's filters lost a pleat."},
		{drift.Entry{Statement: both}, "Around May 2024 Lowmere's filters lost a pleat.",
			"Since they are made in Varnia and no longer in Ostermark: around May 2024 Lowmere's filters lost a pleat."},
		{drift.Entry{Part: "L 1", Statement: drift.Statement{OriginNow: "Varnia"}}, "Lowmere L 1 has lost a pleat.",
			"Since it is made in Varnia: Lowmere L 1 has lost a pleat."},
	} {
		if got := originFirst(c.e, c.said); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// An entry states which dates it rests on.
func TestByDateCode(t *testing.T) {
	day := func(year int, month time.Month) time.Time { return time.Date(year, month, 9, 0, 0, 0, 0, time.UTC) }
	for want, e := range map[string]drift.Entry{
		"":                   {DatedBy: "opened"},
		"dated by date code": {DatedBy: "date_code"},
		"by date code the last of the old made in May" + wording.NBSP + "2023, the first of the new in July" + wording.NBSP + "2023": {
			DatedBy: "opened", Statement: drift.Statement{MadeAfter: day(2023, 5), MadeBefore: day(2023, 7)}},
		"by date code made differently from May" + wording.NBSP + "2023 on": {
			DatedBy: "opened", Statement: drift.Statement{MadeAfter: day(2023, 5), MadeBefore: day(2023, 5)}},
	} {
		if got := byDateCode(e); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
