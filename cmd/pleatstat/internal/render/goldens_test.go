package render_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"pleatstat/cmd/pleatstat/internal/render/changes"
	"pleatstat/cmd/pleatstat/internal/render/comparison"
	"pleatstat/cmd/pleatstat/internal/render/findings"
	"pleatstat/cmd/pleatstat/internal/render/logs"
	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/render/trends"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/check"
	"pleatstat/stats/price"
	"pleatstat/stats/report"
	"pleatstat/stats/slip"
	"pleatstat/stats/trend"
)

var update = flag.Bool("update", false, "write the goldens anew")

// golden compares what f writes with a file of testdata.
func golden(t *testing.T, name string, f func(w io.Writer) error) {
	t.Helper()
	var b bytes.Buffer
	if err := f(&b); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, b.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), b.String()); diff != "" {
		t.Errorf("%s differs (-golden +now); -update writes it anew:\n%s", name, diff)
	}
}

// written turns a function that writes text into one that writes to an io.Writer.
func written(f func(t *wording.Text)) func(w io.Writer) error {
	return func(w io.Writer) error {
		text := wording.NewText(w, false)
		f(text)
		return text.Err()
	}
}

func TestGoldens(t *testing.T) {
	found := storedFindings(t)
	u := found.Units
	few := notPriced()
	few.Maker, few.Part, few.Needed, few.Price = "Thornquay", "TQ-1", 8, 19.9
	few.Why = "judging a price needs at least 8 products with a price and a media area; the log has 1"
	checked := storedCheck(t)
	for name, f := range map[string]func(w io.Writer) error{
		"findings.txt":        written(func(t *wording.Text) { findings.Report(t, found, false) }),
		"findings_detail.txt": written(func(t *wording.Text) { findings.Report(t, found, true) }),
		"head.txt":            written(func(t *wording.Text) { findings.Head(t, found) }),
		"findings.json":       func(w io.Writer) error { return findings.JSON(w, found) },
		"nothing.txt":         written(func(t *wording.Text) { findings.Report(t, emptyFindings(), false) }),
		"trend.txt": written(func(t *wording.Text) {
			trends.Report(t, trends.Fitted{Trend: areaTrend(), Flags: storedFlags()[:2], Verdicts: found.Verdicts[:2],
				Usable: found.Usable, MoneyOf: found.MoneyOf, AsPaid: true}, u)
		}),
		"trend_few.txt":    written(func(t *wording.Text) { trends.Report(t, trends.Fitted{Trend: fewTrend()}, u) }),
		"drift.txt":        written(func(t *wording.Text) { changes.Report(t, storedDrift(), u, on(2024, time.January, 1), false) }),
		"drift_detail.txt": written(func(t *wording.Text) { changes.Report(t, storedDrift(), u, time.Time{}, true) }),
		"drift.csv":        func(w io.Writer) error { return changes.CSV(w, storedDrift(), u) },
		"price.txt":        written(func(t *wording.Text) { prices.Part(t, storedJudgement(), u) }),
		"price_apart.txt":  written(func(t *wording.Text) { prices.Part(t, apartJudgement(), u) }),
		"price_apart.json": func(w io.Writer) error { return prices.PartJSON(w, storedLog(t), apartJudgement()) },
		"price.json":       func(w io.Writer) error { return prices.PartJSON(w, storedLog(t), storedJudgement()) },
		"price_few.txt":    written(func(t *wording.Text) { prices.Part(t, few, u) }),
		"prices.txt": written(func(t *wording.Text) {
			prices.Ranking(t, []price.Judgement{storedJudgement(), apartJudgement(), few}, aboutAllPrices, nil, u)
		}),
		"prices_none.txt": written(func(t *wording.Text) { prices.Ranking(t, nil, nil, nil, u) }),
		"prices_few.txt":  written(func(t *wording.Text) { prices.Ranking(t, []price.Judgement{few}, nil, nil, u) }),
		"drift_none.txt":  written(func(t *wording.Text) { changes.Report(t, nil, u, time.Time{}, false) }),
		"compare.txt":     written(func(t *wording.Text) { comparison.Report(t, storedComparison(), u) }),
		"compare.json":    func(w io.Writer) error { return comparison.JSON(w, storedLog(t), storedComparison()) },
		"compare.csv":     func(w io.Writer) error { return comparison.CSV(w, storedComparison(), u) },
		"columns.json": func(w io.Writer) error {
			return logs.ColumnsJSON(w, slices.Collect(catalogue.Recorded())[:2], slices.Collect(catalogue.Derived())[:1])
		},
		"columns.txt": written(func(t *wording.Text) {
			logs.Columns(t, slices.Collect(catalogue.Recorded()), slices.Collect(catalogue.Derived()))
		}),
		"check.txt":       written(func(t *wording.Text) { logs.Check(t, checked) }),
		"check.json":      func(w io.Writer) error { return logs.CheckJSON(w, checked) },
		"suggestions.csv": func(w io.Writer) error { return logs.SuggestionsCSV(w, checked.Result.Suggestions) },
	} {
		t.Run(name, func(t *testing.T) { golden(t, name, f) })
	}
}

// storedLog returns the log that the stored results describe in JSON.
func storedLog(t *testing.T) *dataset.Log {
	l, err := dataset.Read(strings.NewReader("maker,part,wall (thou),shelf\nSkerrow,SK-1,18,A\n"), "harbour.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func storedCheck(t *testing.T) logs.Checked {
	return logs.Checked{File: "harbour.csv", Rows: 262, Columns: storedColumns(), Units: benchUnits(t),
		Result: &check.Result{
			Problems: storedFindings(t).Problems,
			Suggestions: []check.Suggestion{{File: "harbour.csv", Line: 41, Column: 9, Name: "can_gauge", Found: "4.1", Intended: "0.41",
				Why: "a can of 62 g and this size has a wall of about 0.4 mm", Kind: slip.Decimal, Sure: true}},
			SetAside:    []dataset.CellRef{{Row: 39, Column: "can_gauge"}},
			Calibration: check.Calibration{Ratio: nan, Low: nan, High: nan, Difference: nan},
		},
		LineOf:  func(row int) int { return row + 2 },
		Repeats: []logs.Repeat{{Column: "can_gauge", Repeatability: dataset.Repeatability{SD: 0.0071, Cells: 31, Readings: 88, DF: 57}}},
	}
}

// emptyFindings returns the findings from a log with too little data for anything.
func emptyFindings() *report.Findings {
	return &report.Findings{Log: report.Summary{File: "new.csv", Rows: 3, Makers: 2, Parts: 3, Units: "metric"},
		Trends: []*trend.Trend{fewTrend()}, Usable: 1, MoneyOf: nan,
		MostMedia: []price.ForMoney{{Maker: "Skerrow", Part: "SK-1", AreaPerMoney: 40, Price: 9, MediaArea: 360}}}
}

// findings.json keeps the keys that other programs rely on.
func TestFindingsJSONKeepsItsContract(t *testing.T) {
	var b bytes.Buffer
	if err := findings.JSON(&b, storedFindings(t)); err != nil {
		t.Fatal(err)
	}
	var doc map[string]any
	if err := json.Unmarshal(b.Bytes(), &doc); err != nil {
		t.Fatal(err)
	}
	hasKeys(t, "findings", doc, "schema", "verdicts", "log", "problems", "trends", "flags", "drift", "warnings")
	if doc["schema"] != "pleatstat/findings/2" {
		t.Errorf("schema is %v", doc["schema"])
	}
	hasKeys(t, "log", doc["log"], "file", "rows", "used", "makers", "parts", "first_opened", "last_opened", "units")
	first := func(key string) any { return doc[key].([]any)[0] }
	hasKeys(t, "problem", first("problems"), "file", "line", "column", "text", "message", "severity")
	hasKeys(t, "trend", first("trends"), "id", "response", "predictor", "scale", "n", "left_out", "line", "least_squares", "warnings")
	tr := first("trends").(map[string]any)
	hasKeys(t, "line", tr["line"], "intercept", "slope", "slope_low", "slope_high", "spread", "confidence")
	hasKeys(t, "least_squares", tr["least_squares"], "intercept", "slope", "slope_low", "slope_high", "spread", "r_squared")
	hasKeys(t, "flag", first("flags"), "kind", "grade", "trend", "maker", "part", "lines", "n", "observed", "expected", "low", "high", "ratio", "p", "q")
	hasKeys(t, "verdict", first("verdicts"), verdictKeys...)
	d := first("drift").(map[string]any)
	hasKeys(t, "drift", d, "maker", "part", "measure", "n", "blocks", "per_year", "low", "high", "p", "q", "change_from", "step", "verdict", "detectable_per_year")
	for _, key := range []string{"part", "change_from", "step"} {
		if d[key] != nil {
			t.Errorf("%s of a maker without a step is %v, want null", key, d[key])
		}
	}
	few := doc["trends"].([]any)[2].(map[string]any)
	if few["line"].(map[string]any)["slope"] != nil {
		t.Errorf("a slope that could not be fitted is %v, want null", few["line"])
	}
	if got := tr["line"].(map[string]any)["slope"]; got != 0.87 {
		t.Errorf("slope %v, want 0.87", got)
	}
	changed := doc["drift"].([]any)[1].(map[string]any)
	if changed["change_from"] != "2022-05-14" {
		t.Errorf("change_from is %v", changed["change_from"])
	}
}

func hasKeys(t *testing.T, what string, v any, keys ...string) {
	t.Helper()
	m, ok := v.(map[string]any)
	if !ok {
		t.Fatalf("%s is %T", what, v)
	}
	for _, k := range keys {
		if _, ok := m[k]; !ok {
			t.Errorf("%s has no key %q", what, k)
		}
	}
}

// Lists are never null, and an empty report is valid JSON.
func TestEmptyFindingsJSON(t *testing.T) {
	var b bytes.Buffer
	if err := findings.JSON(&b, &report.Findings{}); err != nil {
		t.Fatal(err)
	}
	var doc map[string]any
	if err := json.Unmarshal(b.Bytes(), &doc); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"problems", "trends", "flags", "drift", "warnings", "verdicts", "set_aside"} {
		if _, ok := doc[key].([]any); !ok {
			t.Errorf("%s is %v, want an empty list", key, doc[key])
		}
	}
}

// verdictKeys are the keys of a verdict, the same in every JSON.
var verdictKeys = []string{"maker", "part", "grade", "direction", "price", "price_date", "money_of", "fair", "low", "high", "ratio", "n", "lines", "why"}

func TestPriceJSONKeepsItsContract(t *testing.T) {
	var b bytes.Buffer
	if err := prices.PartJSON(&b, storedLog(t), storedJudgement()); err != nil {
		t.Fatal(err)
	}
	var doc map[string]any
	if err := json.Unmarshal(b.Bytes(), &doc); err != nil {
		t.Fatal(err)
	}
	hasKeys(t, "price", doc, "maker", "part", "verdict", "low_80", "high_80", "usual_low", "usual_high", "share_below",
		"rank", "of", "base", "contributions", "comparables", "warnings")
	hasKeys(t, "verdict", doc["verdict"], verdictKeys...)
	hasKeys(t, "contribution", doc["contributions"].([]any)[0], "content", "value", "factor")
	hasKeys(t, "comparable", doc["comparables"].([]any)[0], "maker", "part", "price", "media_area")
	b.Reset()
	if err := prices.RankingJSON(&b, storedLog(t), []price.Judgement{storedJudgement()}, aboutAllPrices); err != nil {
		t.Fatal(err)
	}
	var all struct {
		Parts    []map[string]any
		Warnings []string
	}
	if err := json.Unmarshal(b.Bytes(), &all); err != nil {
		t.Fatal(err)
	}
	if _, there := all.Parts[0]["comparables"]; there {
		t.Error("the list of all parts has comparables")
	}
	if !slices.Equal(all.Warnings, aboutAllPrices) {
		t.Errorf("the list has the warnings %q", all.Warnings)
	}
}

// Hostile texts anywhere in the findings reach no output unescaped, and every
// line keeps to the width.
func TestHostileFindings(t *testing.T) {
	for _, s := range hostile {
		f := storedFindings(t)
		f.Log.File = s
		f.Problems = append(f.Problems, dataset.Problem{File: s, Line: 3, Name: s, Text: s, Message: "not a number: " + s, Severity: dataset.Unusable})
		f.Trends = append(f.Trends, hostileTrend(s))
		for i := range f.Flags {
			f.Flags[i].Maker, f.Flags[i].Part = s, s
		}
		for i := range f.Verdicts {
			f.Verdicts[i].Maker, f.Verdicts[i].Part, f.Verdicts[i].Why = s, s, s
		}
		f.Foreign[0].Currency = s
		f.Drift[1].Maker = s
		f.Warnings = []string{s}
		var text, js bytes.Buffer
		w := wording.NewText(&text, false)
		findings.Report(w, f, true)
		findings.Head(w, f)
		if err := w.Err(); err != nil {
			t.Fatal(err)
		}
		if strings.ContainsFunc(strings.ReplaceAll(text.String(), "\n", ""), wording.Hidden) {
			t.Errorf("%q reaches the text", s)
		}
		if err := findings.JSON(&js, f); err != nil {
			t.Fatal(err)
		}
		if !json.Valid(js.Bytes()) || strings.ContainsFunc(strings.ReplaceAll(js.String(), "\n", ""), hiddenByJSON) {
			t.Errorf("%q reaches the JSON", s)
		}
	}
}
