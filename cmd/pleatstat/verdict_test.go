package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pleatstat/cmd/calibrate/sim"
)

// told is the JSON object of a verdict, the same in every command.
type told struct {
	Maker, Part, Grade            string
	Direction, Why                *string
	PriceDate                     *string `json:"price_date"`
	Price, Fair, Low, High, Ratio *float64
	N                             int
	Lines                         []int
}

// says returns a verdict on one line, to compare.
func (v told) says() string {
	b, _ := json.Marshal(v) // of plain fields: cannot fail
	return string(b)
}

// generatedLog returns one of twenty invented logs: of various sizes, with and without
// overpriced parts, blanks, dates and a second currency.
func generatedLog(t *testing.T, k int) string {
	t.Helper()
	o := sim.MarketOptions{Rows: []int{9, 14, 25, 40, 70}[k%5], Matter: k%2 == 0, Reopened: 0.2, Seed: uint64(k)}
	if k%4 > 1 {
		o.Overpriced = 0.15
	}
	if k%3 == 1 {
		o.Blanks = 0.4
	}
	rows, err := csv.NewReader(strings.NewReader(string(sim.NewMarket(o).CSV))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i := range rows {
		switch currency := "GBP"; {
		case i == 0:
			rows[i] = append(rows[i], "price_currency")
		default:
			if k%7 == 3 && i%6 == 0 {
				currency = "EUR"
			}
			rows[i] = append(rows[i], currency)
			if k%5 == 4 && k > 5 {
				rows[i][0] = ""
			}
		}
	}
	var b strings.Builder
	if err := csv.NewWriter(&b).WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// Every command reports the same on a part: grade, price, usual price and range.
func TestOneVerdictInEveryCommand(t *testing.T) {
	grades := make([]map[string]int, 12)
	t.Run("logs", func(t *testing.T) {
		for k := range 12 {
			grades[k] = map[string]int{}
			t.Run(fmt.Sprint(k), func(t *testing.T) {
				t.Parallel()
				sameEverywhere(t, k, grades[k])
			})
		}
	})
	all := map[string]int{}
	for _, g := range grades {
		for grade, n := range g {
			all[grade] += n
		}
	}
	for _, grade := range []string{"clear", "hint", "as expected", "cannot say"} {
		if all[grade] == 0 {
			t.Errorf("no part of the logs is judged %q: the test shows little (%v)", grade, all)
		}
	}
}

func sameEverywhere(t *testing.T, k int, grades map[string]int) {
	path := filepath.Join(t.TempDir(), "log.csv")
	if err := os.WriteFile(path, []byte(generatedLog(t, k)), 0o666); err != nil {
		t.Fatal(err)
	}
	ask := func(to any, args ...string) {
		t.Helper()
		if k%7 == 3 && k > 5 {
			args = append(args, "--rate", "EUR=0.86")
		}
		r := call("", append(args, "--json")...)
		want(t, r, exitDone)
		if err := json.Unmarshal([]byte(r.stdout), to); err != nil {
			t.Fatal(err)
		}
	}
	type flagged struct{ Trend, Maker, Part, Grade string }
	var report struct {
		Verdicts []told
		Flags    []flagged
	}
	ask(&report, "report", path, "--no-plots")
	by := map[string]told{}
	for _, v := range report.Verdicts {
		by[v.Maker+" "+v.Part] = v
		grades[v.Grade]++
		consistent(t, v)
	}
	same := func(where string, v told) {
		t.Helper()
		if want := by[v.Maker+" "+v.Part]; v.says() != want.says() {
			t.Errorf("log %d, %s says\n%s, report\n%s", k, where, v.says(), want.says())
		}
	}
	type judgedPart struct{ Verdict told }
	var list struct{ Parts []judgedPart }
	ask(&list, "price", path)
	for _, j := range list.Parts {
		same("price", j.Verdict)
	}
	first, last := report.Verdicts[0], report.Verdicts[len(report.Verdicts)-1]
	for _, v := range []told{first, last} {
		var one judgedPart
		ask(&one, "price", path, "--part", v.Maker+" "+v.Part)
		same("price --part", one.Verdict)
		ask(&one, "show", path, v.Maker+" "+v.Part)
		same("show", one.Verdict)
	}
	for _, on := range []string{"media_area", "total_mass"} {
		var line struct {
			Trends []struct {
				Line struct {
					Low *float64 `json:"slope_low"`
				}
			}
			Flags    []flagged
			Verdicts []told
		}
		ask(&line, "trend", path, "--of", "price", "--on", on, "--scale", "log")
		for i, v := range line.Verdicts {
			if same("trend", v); line.Flags[i] != (flagged{"price-" + on, v.Maker, v.Part, v.Grade}) {
				t.Errorf("log %d: off the trend is %v, by the verdict %s", k, line.Flags[i], v.says())
			}
		}
		ofReport := slices.DeleteFunc(slices.Clone(report.Flags), func(f flagged) bool { return f.Trend != "price-"+on })
		low := line.Trends[0].Line.Low
		if on == "media_area" && low != nil && *low > 0 && !slices.Equal(line.Flags, ofReport) {
			t.Errorf("log %d: off price on %s the trend has %v, the report %v", k, on, line.Flags, ofReport)
		}
	}
	var newest struct{ Openings []judgedPart }
	ask(&newest, "latest", path)
	for _, o := range newest.Openings {
		same("latest", o.Verdict)
	}
	var compared struct {
		Products []judgedPart
		Measures []struct {
			Column string
			Values []struct{ Mean *float64 }
		}
	}
	ask(&compared, "compare", path, first.Maker+" "+first.Part, last.Maker+" "+last.Part)
	for _, p := range compared.Products {
		same("compare", p.Verdict)
	}
	for _, m := range compared.Measures {
		for i, v := range m.Values {
			is := compared.Products[i].Verdict
			if m.Column == "price" && first.Grade != "cannot say" && v.Mean != nil && (is.Price == nil || *v.Mean != *is.Price) {
				t.Errorf("log %d: compare shows the price %v, and says %s", k, *v.Mean, is.says())
			}
		}
	}
	if first.PriceDate == nil {
		return // a roundup is of a year
	}
	var year struct {
		Tables []struct {
			ID     string
			Places []struct{ Verdict *told }
		}
	}
	ask(&year, "roundup", path)
	places := 0
	for _, table := range year.Tables {
		for _, p := range table.Places {
			if p.Verdict != nil {
				same("roundup", *p.Verdict)
				places++
			}
		}
	}
	if places == 0 && first.Grade != "cannot say" && len(list.Parts) > 30 {
		t.Errorf("log %d: the roundup tells no verdict", k)
	}
}

// consistent checks that a grade and its figures do not contradict each other.
func consistent(t *testing.T, v told) {
	t.Helper()
	if v.Grade == "cannot say" {
		if v.Why == nil {
			t.Errorf("nothing says why: %s", v.says())
		}
		return
	}
	outside := *v.Price > *v.High || *v.Price < *v.Low
	if off := v.Grade != "as expected"; off && !outside && v.Grade == "hint" || !off && outside {
		t.Errorf("grade and range contradict each other: %s", v.says())
	}
	far := *v.Ratio >= 1.25 || *v.Ratio <= 0.8
	if (v.Grade == "clear" || v.Grade == "probable") && !far {
		t.Errorf("graded %s at %.3f times: %s", v.Grade, *v.Ratio, v.says())
	}
	if (*v.Direction == "above") != (*v.Ratio >= 1) || math.Abs(*v.Price / *v.Fair - *v.Ratio) > 1e-4 {
		t.Errorf("figures contradict each other: %s", v.says())
	}
}
