package dates

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"pleatstat/dataset"
)

// today is fixed, so that the tests do not depend on the day on which they run.
var today = time.Date(2026, time.June, 1, 0, 0, 0, 0, time.UTC)

func read(t *testing.T, text string) *dataset.Log {
	t.Helper()
	log, err := dataset.Read(strings.NewReader(text), "log.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return log
}

// TestImpossibleDatesRules: dates after today and dates decades before all others
// are set aside; the dates of a log that is merely old, or has few others, are not.
func TestImpossibleDatesRules(t *testing.T) {
	for _, c := range []struct {
		name, dates string
		today       time.Time
		aside       int
	}{
		{"after today", "2024-01-01 2024-02-01 2042-03-01", today, 1},
		{"today and tomorrow", "2024-01-01 2026-06-01 2026-06-02", today, 0},
		{"this month and this year", "2024-01-01 2026-06 2026", today, 0},
		{"next year", "2024-01-01 2025 2027", today, 1},
		{"no day given", "2024-01-01 2024-02-01 2042-03-01", time.Time{}, 0},
		{"thirty years before", "1994-01-02 2024-01-02 2024-02-01", today, 1},
		{"a year less", "1995-02-01 2024-01-02 2024-02-01", today, 0},
		{"both ends", "1972-01-01 2024-01-02 2024-02-01 2042-01-01", today, 2},
		{"one of two", "1972-01-01 2024-01-02", today, 0},
		{"a tenth of all", "1972-01-01 1972-02-01" + strings.Repeat(" 2024-01-02", 18), today, 2},
		{"more than a tenth", "1972-01-01 1972-02-01 1972-03-01" + strings.Repeat(" 2024-01-02", 26), today, 0},
		{"two eras", "1972-01-01 1972-02-01 1972-03-01 2024-01-02 2024-02-01", today, 0},
	} {
		log := read(t, "opened,maker,part,pleats\n"+strings.ReplaceAll(c.dates, " ", ",Skerrow,SK-1,50\n")+",Skerrow,SK-1,50\n")
		var aside []dataset.CellRef
		for _, d := range Doubts(log, c.today) {
			if d.Aside {
				aside = append(aside, dataset.CellRef{Row: d.Row, Column: "opened"})
			}
		}
		if len(aside) != c.aside {
			t.Errorf("%s: %+v", c.name, aside)
		}
		sound := log.SetAside(aside)
		if n := sound.Notices(); (len(n) == 1) != (c.aside > 0) {
			t.Errorf("%s: %q", c.name, n)
		}
		for _, ref := range aside {
			if _, _, ok := sound.Opened(ref.Row); ok || sound.Precision(ref.Row) != "" || sound.Floats("opened")[ref.Row] == sound.Floats("opened")[ref.Row] {
				t.Errorf("%s: row %d still has a date", c.name, ref.Row)
			}
		}
	}
}

// An opening before the date stamped on the part is reported only beyond
// dataset.MadeGrace, as the code may name the week for which the part was meant. The
// opening is of 1 June 2022.
func TestMadeGraceRule(t *testing.T) {
	for code, told := range map[string]int{"2022-06-01": 0, "2022-06-14": 0, "2022-06-17": 1} {
		doubts := Doubts(read(t, "opened,maker,part,date_code,pleats\n2022-06-01,Skerrow,SK 1,"+code+",60\n"), today)
		if len(doubts) != told {
			t.Errorf("made %s: %+v", code, doubts)
		}
	}
}

// Rows out of order, on both sides of StrayYears and StrayShare.
func TestStrayThresholds(t *testing.T) {
	log := func(strays int, years float64) int {
		text := "opened,maker,part,pleats\n"
		for i := range 150 {
			day := today.AddDate(0, 0, -3*150+3*i)
			if i >= 100 && i < 100+strays {
				day = day.AddDate(0, 0, -int(years*365))
			}
			text += fmt.Sprintf("%s,Skerrow,SK %d,60\n", day.Format("2006-01-02"), i)
		}
		return len(Doubts(read(t, text), today))
	}
	for _, c := range []struct {
		strays int
		years  float64
		told   int
	}{
		{1, 0.25 * 0.9, 0}, {1, 0.25 * 1.2, 1},
		{int(150 * 0.02), 1, int(150 * 0.02)}, {int(150*0.02) + 1, 1, 0},
	} {
		if got := log(c.strays, c.years); got != c.told {
			t.Errorf("%d rows %.2f years out of order: %d told, want %d", c.strays, c.years, got, c.told)
		}
	}
}

// The order of fewer than 8 dates is not examined.
func TestFewestDatesRule(t *testing.T) {
	for n, told := range map[int]int{7: 0, 8: 1} {
		text := "opened,maker,part,pleats\n2019-01-05,Skerrow,SK 0,60\n2011-01-05,Skerrow,SK 1,60\n"
		for i := 2; i < n; i++ {
			text += fmt.Sprintf("2020-01-%02d,Skerrow,SK %d,60\n", i, i)
		}
		if doubts := Doubts(read(t, text), today); len(doubts) != told {
			t.Errorf("%d dates: %+v", n, doubts)
		}
	}
}

// inOrder finds a longest subsequence: its length is that found by dynamic
// programming.
func TestInOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		n := r.IntN(12)
		dates, rows := make([]float64, n), make([]int, n)
		for i := range dates {
			dates[i], rows[i] = float64(r.IntN(8)), i
		}
		longest := make([]int, n)
		best := 0
		for i := range dates {
			longest[i] = 1
			for j := range i {
				if dates[j] <= dates[i] {
					longest[i] = max(longest[i], longest[j]+1)
				}
			}
			best = max(best, longest[i])
		}
		run := inOrder(dates, rows)
		if len(run) != best {
			t.Fatalf("%v: run %v, longest has %d", dates, run, best)
		}
		for k := 1; k < len(run); k++ {
			if run[k] <= run[k-1] || dates[run[k]] < dates[run[k-1]] {
				t.Fatalf("%v: %v goes back", dates, run)
			}
		}
	}
}
