package check

import (
	"bytes"
	"encoding/csv"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"pleatstat/dataset"
)

// The log is not changed, and the same log gives the same result on any number
// of cores.
func TestSameResultAnyCores(t *testing.T) {
	log := readDemo(t)
	before := log.Floats("element_width")
	first := run(t, log)
	if !slices.EqualFunc(before, log.Floats("element_width"), same) {
		t.Error("the log was changed")
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, cores := range []int{1, 2, 3, 7} {
		runtime.GOMAXPROCS(cores)
		if d := cmp.Diff(first, run(t, readDemo(t))); d != "" {
			t.Errorf("on %d cores:\n%s", cores, d)
		}
	}
}

// The findings on a cell do not depend on the order of the rows.
func TestOrderOfRows(t *testing.T) {
	text, err := os.ReadFile(demoLog)
	if err != nil {
		t.Fatal(err)
	}
	records, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(3, 4))
	r.Shuffle(len(records)-1, func(i, j int) { records[i+1], records[j+1] = records[j+1], records[i+1] })
	var shuffled bytes.Buffer
	if err := csv.NewWriter(&shuffled).WriteAll(records); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(said(run(t, readDemo(t))), said(run(t, read(t, shuffled.String())))); d != "" {
		t.Errorf("in another order:\n%s", d)
	}
}

// said lists the findings on cells without their lines, sorted.
func said(r *Result) []string {
	var out []string
	for _, p := range r.Problems {
		out = append(out, p.Name+" "+p.Text+" "+p.Message)
	}
	for _, s := range r.Suggestions {
		out = append(out, s.Name+" "+s.Found+" "+s.Intended)
	}
	slices.Sort(out)
	return out
}

// A log that weighs in ounces instead of grams gives the same slips.
func TestUnitsOfTheLog(t *testing.T) {
	metric := run(t, altered(t, alter{2, "total_mass", "18.42"}, alter{5, "can_gauge", "4.3"}))
	records, err := csv.NewReader(strings.NewReader(bench)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := slices.Index(records[0], "total_mass_g")
	records[0][at] = "total_mass_oz"
	for i := range records[1:] {
		records[i+1][at] = inOunces(t, records[i+1][at])
	}
	records[1][at] = inOunces(t, "18.42")
	records[4][slices.Index(records[0], "can_gauge_mm")] = "4.3"
	var text bytes.Buffer
	if err := csv.NewWriter(&text).WriteAll(records); err != nil {
		t.Fatal(err)
	}
	ounces := run(t, read(t, text.String()))
	if len(metric.SetAside) != 2 || !slices.Equal(metric.SetAside, ounces.SetAside) {
		t.Errorf("set aside %v in grams and %v in ounces", metric.SetAside, ounces.SetAside)
	}
}

func inOunces(t *testing.T, grams string) string {
	t.Helper()
	v, ok := plainNumber(grams)
	oz, err := dataset.Convert(v, "g", "oz")
	if !ok || err != nil {
		t.Fatalf("%q: %v", grams, err)
	}
	return short(oz)
}

// Rows that the fast first pass does not suspect contain no slip that a search of
// every row would find.
func TestSuspectsMissNothing(t *testing.T) {
	tab := newTable(readDemo(t))
	m := newModel(tab)
	suspects := m.suspects()
	for i := range tab.n {
		x := m.t.blank
		tab.load(i, &x)
		if v, ok := m.search(i, &x); ok && !slices.Contains(suspects, i) {
			t.Errorf("row %d has %+v and is no suspect", i, v)
		}
	}
	if len(suspects) == 0 || len(suspects) > tab.n/10 {
		t.Errorf("%d suspects of %d rows", len(suspects), tab.n)
	}
}

// Whatever the cells contain, a check ends and reports and sets aside only cells
// that exist.
func TestAnythingInCells(t *testing.T) {
	odd := []string{"0", "-5", "1e300", "1e-300", "0.0000001", "99999999999999", "0.47; 0", "0; 0", "1; 1e9", "3/8", "41 3/8", "41 3/8 in",
		"~0.5", "n/a", "?", "", "x", "4,1", "1,234", "33.5 mm", "33.5 g", ".47", "5.", "00.5", "100 %", "=1+1", "2022-13-45", "1999", "\x1b[31m", "½"}
	r := rand.New(rand.NewPCG(5, 6))
	for range 400 {
		records, err := csv.NewReader(strings.NewReader(bench)).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		for range 1 + r.IntN(60) {
			records[1+r.IntN(len(records)-1)][r.IntN(len(records[0]))] = odd[r.IntN(len(odd))]
		}
		var text bytes.Buffer
		if err := csv.NewWriter(&text).WriteAll(records[:2+r.IntN(len(records)-1)]); err != nil {
			t.Fatal(err)
		}
		log := read(t, text.String())
		result := run(t, log)
		for _, s := range result.Suggestions {
			if cell := records[s.Line-1][s.Column-1]; cell != s.Found || s.Intended == "" || s.Intended == s.Found {
				t.Errorf("%+v, where %q stands", s, cell)
			}
		}
		for _, p := range result.Problems {
			if strings.Contains(p.Message, "NaN") || strings.Contains(p.Message, "Inf") || strings.Contains(p.Message, "–") {
				t.Errorf("%+v", p)
			}
		}
		for _, ref := range result.SetAside {
			if _, ok := log.Cell(ref.Row, ref.Column); !ok {
				t.Errorf("set aside %+v, which is blank", ref)
			}
		}
	}
}
