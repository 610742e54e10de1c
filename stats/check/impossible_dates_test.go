package check

import (
	"strings"
	"testing"
	"time"
)

// An impossible date must not make the dates of the neighbouring rows look out of
// order.
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

// Everything about one date is reported in one message, with what was probably
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
