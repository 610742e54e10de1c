package roundup

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"os"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"

	"pleatstat/dataset"
	"pleatstat/stats/trend"
)

const demo = "../../testdata/demo/harbour.csv"

func demoText(t *testing.T) string {
	t.Helper()
	data, err := os.ReadFile(demo)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func build(t *testing.T, text string, o Options) *Roundup {
	t.Helper()
	log, err := dataset.Read(strings.NewReader(text), "harbour.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := Build(context.Background(), log, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func table(t *testing.T, r *Roundup, id string) Table {
	t.Helper()
	i := slices.IndexFunc(r.Tables, func(t Table) bool { return t.ID == id })
	if i < 0 {
		t.Fatalf("no table %s", id)
	}
	return r.Tables[i]
}

// The roundup reports what was planted in the invented demo log.
func TestDemoTruths(t *testing.T) {
	r := build(t, demoText(t), Options{})
	if r.Year != 2026 || r.Before != 2025 || r.Opened.Openings != 16 || r.Opened.Products != 16 || r.Opened.Makers != 8 {
		t.Errorf("year %d after %d, %+v", r.Year, r.Before, r.Opened)
	}
	value := table(t, r, BestValue)
	if p := value.Places[0]; p.Part != "BH-124" || p.Shared {
		t.Errorf("best value %+v, planted BH-124 far ahead", p)
	}
	prices := table(t, r, PriceForContents)
	if p := prices.Places[0]; p.Part != "W 792" || p.Verdict.Grade != trend.Clear {
		t.Errorf("dearest for its contents %+v, planted W 792", p)
	}
	if p := prices.Places[prices.N-1]; p.Part != "BH-124" || p.Verdict.Grade != trend.Clear {
		t.Errorf("cheapest for its contents %+v, planted BH-124", p)
	}
	// All prices rise by 4 % a year.
	for _, s := range r.Shifts {
		if s.Measure == "price" && s.Group == OpenedAgain && !(s.Low <= 0.04 && 0.04 <= s.High) {
			t.Errorf("yearly rise %.3f (%.3f to %.3f), planted 0.04", s.Shift, s.Low, s.High)
		}
	}
	earlier := build(t, demoText(t), Options{Year: 2025})
	for _, p := range table(t, earlier, PriceForContents).Places {
		planted := p.Part == "VM2146" || p.Part == "T-385"
		if (p.Verdict.Grade == trend.Clear || p.Verdict.Grade == trend.Probable) != planted {
			t.Errorf("%s %s: %.2f times fair, grade %q; planted %v", p.Maker, p.Part, p.Value, p.Verdict.Grade, planted)
		}
	}
	thin, pleats := 0, 0
	for _, c := range earlier.Reopened.Changes {
		if !c.Clear {
			continue
		}
		switch c.Measure {
		case "can_gauge", "can_mass", "total_mass":
			if c.Maker != "Lowmere" || c.Difference > 0 {
				t.Errorf("clear change %+v; only Lowmere's cans were planted to thin", c)
			}
			thin++
		case "pleats", "media_length":
			if c.Maker != "Pellbrook" || c.Difference > 0 {
				t.Errorf("clear change %+v; only Pellbrook was planted to lose pleats", c)
			}
			pleats++
		}
	}
	if thin == 0 || pleats == 0 {
		t.Errorf("clear changes of cans %d, of pleats %d; both were planted", thin, pleats)
	}
	if len(earlier.Doubtful) == 0 {
		t.Error("2025 has a slip of the pen, which is not listed")
	}
	for _, p := range table(t, earlier, MassForSize).Places {
		if slices.Contains(p.Lines, 220) {
			t.Error("a total mass that is a slip of the pen has a place")
		}
	}
}

func TestYearWithoutOpenings(t *testing.T) {
	log, err := dataset.ReadFile(demo, dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	_, err = Build(context.Background(), log, Options{Year: 2018})
	var none *NoYearError
	if !errors.As(err, &none) || none.Year != 2018 || len(none.Have) != 8 || !strings.Contains(err.Error(), "2019, 2020") {
		t.Errorf("error %v", err)
	}
	var few *ResamplesError
	if _, err = Build(context.Background(), log, Options{Resamples: 10}); !errors.As(err, &few) {
		t.Errorf("ten resamples: %v", err)
	}
	undated, err := dataset.Read(strings.NewReader("maker,part,pleats\nSkerrow,SK-1,51\n"), "log.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err = Build(context.Background(), undated, Options{}); !errors.As(err, &none) || !strings.Contains(err.Error(), "date") {
		t.Errorf("a log without dates: %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err = Build(ctx, log, Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("after the end of its context: %v", err)
	}
}

// A log of one or two openings gives "too few" everywhere and invents nothing.
func TestTooLittle(t *testing.T) {
	for _, text := range []string{
		"opened,maker,part,price,can_gauge_mm\n2026-01-10,Skerrow,SK-1,8.99,0.40\n",
		"opened,maker,part,pleats\n2025,Skerrow,SK-1,51\n2026,Skerrow,SK-1,52\n",
		"opened,maker,part,price,media_length_in,element_width_in,can_gauge_mm,total_mass_g\n" +
			strings.Repeat("2026,Skerrow,,8.99,36,1.5,0.4,200\n", 4),
	} {
		r := build(t, text, Options{})
		for _, tab := range r.Tables {
			if tab.TooFew && tab.Needed <= tab.N {
				t.Errorf("%s: %d products are too few, yet %d would do", tab.ID, tab.N, tab.Needed)
			}
			for _, p := range tab.Places {
				if p.RankLow != 1 || p.RankHigh != tab.N {
					t.Errorf("%s: range of places %d to %d without any noise known", tab.ID, p.RankLow, p.RankHigh)
				}
			}
		}
		for _, s := range r.Shifts {
			if !s.TooFew || s.Needed == 0 || !math.IsNaN(s.Shift) {
				t.Errorf("shift %+v from almost nothing", s)
			}
		}
		for _, m := range r.Makers {
			if !m.TooFew || m.Needed == "" {
				t.Errorf("makers %+v from almost nothing", m)
			}
		}
		if len(r.Gaps) == 0 {
			t.Error("nothing named as measured too seldom")
		}
	}
}

// shuffled reverses the rows of the demo log. Nothing but their lines may change
// in the results.
func shuffled(t *testing.T, text string) string {
	t.Helper()
	records, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	slices.Reverse(records[1:])
	var b strings.Builder
	w := csv.NewWriter(&b)
	if err := w.WriteAll(records); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestOrderOfRowsDoesNotMatter(t *testing.T) {
	text := demoText(t)
	a, b := build(t, text, Options{Year: 2025, Seed: 5}), build(t, shuffled(t, text), Options{Year: 2025, Seed: 5})
	for i := range a.Tables {
		if a.Tables[i].ID == PriceForContents {
			continue // package price has its own test of this
		}
		for k := range a.Tables[i].Places {
			p, q := a.Tables[i].Places[k], b.Tables[i].Places[k]
			if p.Maker != q.Maker || p.Part != q.Part || p.RankLow != q.RankLow || p.RankHigh != q.RankHigh || math.Abs(p.Value-q.Value) > 1e-9*p.Value {
				t.Errorf("%s place %d: %+v against %+v", a.Tables[i].ID, k+1, p, q)
			}
		}
	}
	if got, want := fmt.Sprint(b.Shifts), fmt.Sprint(a.Shifts); got != want {
		t.Errorf("shifts differ with the order of rows:\n%s\n%s", want, got)
	}
	for i := range a.Next {
		if a.Next[i].Part != b.Next[i].Part || math.Abs(a.Next[i].Gain-b.Next[i].Gain) > 1e-9 {
			t.Errorf("next %d: %+v against %+v", i, a.Next[i], b.Next[i])
		}
	}
}

func TestSameOnAnyNumberOfCores(t *testing.T) {
	text := demoText(t)
	many := build(t, text, Options{Seed: 9})
	before := runtime.GOMAXPROCS(1)
	one := build(t, text, Options{Seed: 9})
	runtime.GOMAXPROCS(before)
	if fmt.Sprintf("%+v", many.Tables) != fmt.Sprintf("%+v", one.Tables) {
		t.Error("tables differ with the number of cores")
	}
	if !reflect.DeepEqual(many.Next, one.Next) {
		t.Error("what to open next differs with the number of cores")
	}
}

// A misplaced decimal point in the year's thickest can gives neither a place nor
// a record.
func TestSlipsAreNoRecords(t *testing.T) {
	text := demoText(t)
	i := strings.Index(text, "2025-")
	line := text[i : i+strings.IndexByte(text[i:], '\n')]
	cells := strings.Split(line, ",")
	was := cells[18]
	cells[18] = "4.9"
	r := build(t, strings.Replace(text, line, strings.Join(cells, ","), 1), Options{Year: 2025})
	if p := table(t, r, CanGauge).Places[0]; p.Value > 1 {
		t.Errorf("a can of %.2f mm leads (was %s in the log)", p.Value, was)
	}
	for _, rec := range r.Records {
		if rec.Measure == "can_gauge" && rec.Value > 1 {
			t.Errorf("record %+v", rec)
		}
	}
}

func TestRecordsAgainstBruteForce(t *testing.T) {
	text := demoText(t)
	for _, year := range []int{2020, 2021, 2022, 2023, 2024, 2025, 2026} {
		log, err := dataset.Read(strings.NewReader(text), "harbour.csv", dataset.Options{})
		if err != nil {
			t.Fatal(err)
		}
		b := newBench(log, nil)
		b.year, b.before = year, year-1
		records, _ := b.records()
		pleats := b.values("pleats")
		old, now := 0.0, 0.0
		for i, o := range b.rows {
			switch {
			case math.IsNaN(pleats[i]):
			case o.year < year:
				old = max(old, pleats[i])
			case o.year == year:
				now = max(now, pleats[i])
			}
		}
		told := slices.ContainsFunc(records, func(r Record) bool { return r.Measure == "pleats" && r.Highest })
		if told != (now > old) {
			t.Errorf("%d: most pleats %v after %v, told as a record: %v", year, now, old, told)
		}
	}
}
