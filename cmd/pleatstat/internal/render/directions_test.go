package render_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"pleatstat/cmd/pleatstat/internal/render/changes"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// Over small simulated steps, some with a slope in the other direction or with slips,
// every estimate lies inside its range, and the word of the verdict agrees with the sign
// of every number beside it: in the entry, the JSON, the CSV and the text.
func TestDirectionsAgree(t *testing.T) {
	logs := 120 // of six makers, each with a step
	if testing.Short() {
		logs = 40
	}
	var moved, steps, asStep, bends int
	for i := range logs {
		log := steppedLog(t, uint64(i))
		entries, err := drift.Analyse(log, drift.Options{})
		if err != nil {
			t.Fatal(err)
		}
		var text, table, document bytes.Buffer
		changes.Report(wording.NewText(&text, false), entries, log.Units(), time.Time{}, true)
		if err := changes.CSV(&table, entries, log.Units()); err != nil {
			t.Fatal(err)
		}
		if err := changes.JSON(&document, log, entries); err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			where := fmt.Sprintf("log %d, %s %s (%s)", i, e.Maker, e.Part, e.Verdict)
			inside(t, where+": a year", e.PerYear, e.Low, e.High)
			inside(t, where+": step", e.Step, e.StepLow, e.StepHigh)
			inside(t, where+": since the bend", e.ChangePerYear, e.ChangePerYearLow, e.ChangePerYearHigh)
			inside(t, where+": both together", e.CombinedPerYear, e.CombinedLow, e.CombinedHigh)
			sameSign(t, where, string(e.Verdict), e.PerYear, e.Step, e.ChangePerYear)
			if e.Verdict == drift.Falling || e.Verdict == drift.Rising {
				sameSign(t, where+", both together", string(e.Verdict), e.CombinedPerYear)
				moved++
				if !math.IsNaN(e.Step) {
					steps++
				}
				if e.ChangeGradual {
					bends++
				}
				if e.AsStep {
					asStep++
				}
			}
		}
		checkTable(t, i, table.Bytes())
		checkDocument(t, i, document.Bytes())
		checkText(t, i, text.String())
	}
	t.Logf("%d entries that moved, %d with a step, %d told as a step, %d with a bend", moved, steps, asStep, bends)
	if moved < logs/2 || steps < logs/8 || asStep < logs/20 {
		t.Error("too few for the test to tell anything")
	}
}

// steppedLog returns a log of six makers whose gauge has a step of up to 0.06 mm.
func steppedLog(t *testing.T, seed uint64) *dataset.Log {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 19))
	var b strings.Builder
	fmt.Fprintln(&b, "opened,maker,part,can_gauge_mm")
	first := time.Date(2019, time.January, 5, 0, 0, 0, 0, time.UTC)
	for _, maker := range []string{"Skerrow", "Thornquay", "Veldmarsh", "Pellbrook", "Orrinvale", "Lowmere"} {
		step, at, slope := 0.06*(2*rng.Float64()-1), 0.2+5.6*rng.Float64(), 0.0
		if rng.IntN(2) == 0 {
			slope = -step / 6 * 2 * rng.Float64()
		}
		slips := 0.05 * float64(rng.IntN(2))
		parts := 1 + rng.IntN(4)
		for i := range 10 + rng.IntN(30) {
			day := rng.IntN(6 * 365)
			years := float64(day) / 365
			gauge := 0.50 - 0.03*float64(i%parts) + slope*years + 0.006*rng.NormFloat64()
			if years >= at {
				gauge += step
			}
			if rng.Float64() < slips {
				gauge += 0.1
			}
			fmt.Fprintf(&b, "%s,%s,%c%d,%.2f\n", first.AddDate(0, 0, day).Format(time.DateOnly), maker, maker[0], i%parts, gauge)
		}
	}
	log, err := dataset.Read(strings.NewReader(b.String()), "harbour.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return log
}

func inside(t *testing.T, where string, v, low, high float64) {
	t.Helper()
	if v < low || v > high {
		t.Errorf("%s: %v outside its range %v to %v", where, v, low, high)
	}
}

func sameSign(t *testing.T, where, verdict string, numbers ...float64) {
	t.Helper()
	for _, v := range numbers {
		if verdict == string(drift.Falling) && v >= 0 || verdict == string(drift.Rising) && v <= 0 {
			t.Errorf("%s: %s with %v", where, verdict, numbers)
		}
	}
}

func checkTable(t *testing.T, log int, data []byte) {
	t.Helper()
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := map[string]int{}
	for i, name := range rows[0] {
		at[name] = i
	}
	for i, row := range rows[1:] {
		value := func(name string) float64 {
			v, err := strconv.ParseFloat(row[at[name]], 64)
			if err != nil {
				return math.NaN() // empty: not known
			}
			return v
		}
		where := fmt.Sprintf("log %d, CSV line %d", log, i+2)
		inside(t, where, value("per_year"), value("low"), value("high"))
		sameSign(t, where, row[at["verdict"]], value("per_year"), value("step"))
	}
}

func checkDocument(t *testing.T, log int, data []byte) {
	t.Helper()
	var document struct{ Drift []map[string]any }
	if err := json.Unmarshal(data, &document); err != nil {
		t.Fatal(err)
	}
	for i, e := range document.Drift {
		value := func(name string) float64 {
			at, there := e[name]
			if !there {
				t.Fatalf("no %s in the JSON", name)
			}
			if v, is := at.(float64); is {
				return v
			}
			return math.NaN() // null: not known
		}
		where := fmt.Sprintf("log %d, JSON entry %d", log, i)
		inside(t, where, value("per_year"), value("low"), value("high"))
		inside(t, where, value("step"), value("step_low"), value("step_high"))
		inside(t, where, value("change_per_year"), value("change_per_year_low"), value("change_per_year_high"))
		verdict, _ := e["verdict"].(string)
		sameSign(t, where, verdict, value("per_year"), value("step"), value("change_per_year"))
	}
}

// saidRange matches an amount with its range: "0.034 mm (95 % range 0.030 to 0.038 mm".
var saidRange = regexp.MustCompile(`([+−]?[0-9.]+) mm(?: a year)? \(95 % range ([+−]?[0-9.]+)(?: mm)? to ([+−]?[0-9.]+) mm`)

func checkText(t *testing.T, log int, text string) {
	t.Helper()
	text = strings.Join(strings.Fields(wording.Spaced(text)), " ")
	value := func(s string) float64 {
		v, err := strconv.ParseFloat(strings.ReplaceAll(s, "−", "-"), 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	for _, m := range saidRange.FindAllStringSubmatch(text, -1) {
		v, low, high := value(m[1]), value(m[2]), value(m[3])
		if !strings.ContainsAny(m[1], "+−") && strings.ContainsAny(m[2], "+−") && -v >= low && -v <= high {
			continue // a fall stated by its size, with a signed range
		}
		inside(t, fmt.Sprintf("log %d, text %q", log, m[0]), v, low, high)
	}
	if m := regexp.MustCompile(`(falls|rises) [^.:]*: ([+−])[0-9.]+ mm a year`).FindStringSubmatch(text); m != nil && (m[1] == "falls") != (m[2] == "−") {
		t.Errorf("log %d: %q", log, m[0])
	}
}
