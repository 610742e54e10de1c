package roundup

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"pleatstat/dataset"
	"pleatstat/stats/check"
	"pleatstat/stats/drift"
)

func todayOf(t *testing.T, log *dataset.Log) (*Today, *dataset.Log) {
	t.Helper()
	checked, err := check.Run(log, check.Options{})
	if err != nil {
		t.Fatal(err)
	}
	sound := log.SetAside(checked.SetAside)
	changes, err := drift.Analyse(sound, drift.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return NewToday(sound, checked.Problems, changes, Options{}), sound
}

// The openings of the last year compared with those before give the changes of
// the roundup.
func TestTodayAgainstAYearIsTheRoundupOfIt(t *testing.T) {
	log, err := dataset.ReadFile("../../testdata/demo/harbour.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := Build(context.Background(), log, Options{})
	if err != nil {
		t.Fatal(err)
	}
	today, sound := todayOf(t, log)
	var rows []int
	for row := range sound.Rows() {
		if when, _, ok := sound.Opened(row); ok && when.Year() == r.Year {
			rows = append(rows, row)
		}
	}
	all, words, err := today.Against(rows)
	if err != nil {
		t.Fatal(err)
	}
	if len(all) != r.Reopened.Comparisons {
		t.Errorf("%d comparisons, the roundup has %d", len(all), r.Reopened.Comparisons)
	}
	told := map[[3]string]Change{}
	for _, c := range all {
		told[[3]string{c.Maker, c.Part, c.Measure}] = c
	}
	for _, want := range r.Reopened.Changes {
		got := told[[3]string{want.Maker, want.Part, want.Measure}]
		if d := cmp.Diff(want, got, cmpopts.EquateApprox(1e-9, 0), cmpopts.EquateNaNs()); d != "" {
			t.Errorf("(-roundup +today)\n%s", d)
		}
	}
	if d := cmp.Diff(r.Reopened.Words, words); d != "" {
		t.Errorf("words (-roundup +today)\n%s", d)
	}
}

// Places today are those of the last openings, with and without dates.
func TestPlacesToday(t *testing.T) {
	for _, head := range []string{"opened,", ""} {
		text := head + "maker,part,can_gauge_mm\n"
		day := func(s string) string {
			if head == "" {
				return ""
			}
			return s + ","
		}
		for _, row := range []struct{ date, part, gauge string }{
			{"2020-01-01", "A", "0.60"}, {"2021-01-01", "A", "0.40"}, {"2022-01-01", "B", "0.50"}, {"2019-01-01", "C", "0.45"}, {"2023-01-01", "D", ""},
		} {
			text += day(row.date) + "Skerrow," + row.part + "," + row.gauge + "\n"
		}
		log, err := dataset.Read(strings.NewReader(text), "log.csv", dataset.Options{})
		if err != nil {
			t.Fatal(err)
		}
		today, _ := todayOf(t, log)
		got := ""
		for _, table := range today.Tables(nil) {
			if table.ID != CanGauge {
				continue
			}
			for _, p := range table.Places {
				got += p.Part
				if p.Part == "A" && math.Abs(p.Value-0.40) > 1e-9 {
					t.Errorf("A counts with %g", p.Value)
				}
			}
		}
		if got != "BCA" {
			t.Errorf("%q: in the order %s", head, got)
		}
		only := today.Tables(func(_, part string) bool { return part != "B" })
		for _, table := range only {
			if table.ID == CanGauge && !table.TooFew {
				t.Errorf("a selection of two is ranked: %+v", table.Places)
			}
		}
	}
}
