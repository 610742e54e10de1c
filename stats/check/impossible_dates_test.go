package check

import (
	"strings"
	"testing"
	"time"

	"pleatstat/dataset"
)

// TestImpossibleDatesRules: dates after today and decades before all others are set
// aside; those of a log that is merely old, or has one date alone, are not.
func TestImpossibleDatesRules(t *testing.T) {
	now := time.Date(2026, time.June, 1, 0, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		name, dates string
		today       time.Time
		aside       int
	}{
		{"after today", "2024-01-01 2024-02-01 2042-03-01", now, 1},
		{"today and tomorrow", "2024-01-01 2026-06-01 2026-06-02", now, 0},
		{"this month and this year", "2024-01-01 2026-06 2026", now, 0},
		{"next year", "2024-01-01 2025 2027", now, 1},
		{"no day given", "2024-01-01 2024-02-01 2042-03-01", time.Time{}, 0},
		{"thirty years before", "1994-01-02 2024-01-02 2024-02-01", now, 1},
		{"a year less", "1995-02-01 2024-01-02 2024-02-01", now, 0},
		{"both ends", "1972-01-01 2024-01-02 2024-02-01 2042-01-01", now, 2},
		{"one of two", "1972-01-01 2024-01-02", now, 0},
		{"a tenth of all", "1972-01-01 1972-02-01" + strings.Repeat(" 2024-01-02", 18), now, 2},
		{"more than a tenth", "1972-01-01 1972-02-01 1972-03-01" + strings.Repeat(" 2024-01-02", 26), now, 0},
		{"two eras", "1972-01-01 1972-02-01 1972-03-01 2024-01-02 2024-02-01", now, 0},
	} {
		log, err := dataset.Read(strings.NewReader("opened,maker,part,pleats\n"+strings.ReplaceAll(c.dates, " ", ",Skerrow,SK-1,50\n")+",Skerrow,SK-1,50\n"), "log.csv", dataset.Options{})
		if err != nil {
			t.Fatal(err)
		}
		r, err := Run(log, Options{Today: c.today})
		if err != nil || len(r.SetAside) != c.aside {
			t.Errorf("%s: %+v, %v", c.name, r.SetAside, err)
		}
		sound := log.SetAside(r.SetAside)
		if n := sound.Notices(); (len(n) == 1) != (c.aside > 0) {
			t.Errorf("%s: %q", c.name, n)
		}
		for _, ref := range r.SetAside {
			if _, _, ok := sound.Opened(ref.Row); ok || sound.Precision(ref.Row) != "" || sound.Floats("opened")[ref.Row] == sound.Floats("opened")[ref.Row] {
				t.Errorf("%s: row %d still has a date", c.name, ref.Row)
			}
		}
	}
}

// A date that cannot be is no neighbour by which another would be out of order.
func TestImpossibleDatesDoubtNoOthers(t *testing.T) {
	now := time.Date(2026, time.June, 1, 0, 0, 0, 0, time.UTC)
	for _, odd := range []string{"2042-02-05", "1980-02-05", "1919-02-05"} {
		for line := 2; line <= 13; line++ {
			r, err := Run(altered(t, alter{line, "opened", odd}), Options{Today: now})
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range r.Problems {
				if p.Line != line {
					t.Errorf("%s in line %d: %+v", odd, line, p)
				}
			}
		}
	}
}

// Whatever there is to say of one date is said at once, with what was probably
// meant.
func TestADateIsToldOnce(t *testing.T) {
	now := time.Date(2026, time.June, 1, 0, 0, 0, 0, time.UTC)
	for _, odd := range []string{"2042-02-05", "1972-02-05"} {
		r, err := Run(altered(t, alter{5, "opened", odd}, alter{5, "date_code", "2044-W20"}), Options{Today: now})
		if err != nil {
			t.Fatal(err)
		}
		var told []string
		for _, p := range r.Problems {
			if p.Line == 5 && p.Name == "opened" {
				told = append(told, p.Message)
			}
		}
		if len(told) != 1 || !strings.Contains(told[0], "counts as undated") || !strings.Contains(told[0], "the part was made") || !strings.Contains(told[0], "; the rows around it") {
			t.Errorf("%s: %q", odd, told)
		}
	}
}
