package stats

import (
	"encoding/csv"
	"encoding/json"
	"flag"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// update writes the golden files of this package anew.
var update = flag.Bool("update", false, "write golden files anew")

// Folders of published values: the copies kept here, and the full collection
// where the data may not be copied.
const (
	copied    = "../testdata/references"
	elsewhere = "../../shared/references"
)

// reference is one entry of certified.json: a method, a data set and the values
// published for it.
type reference struct {
	id     string
	folder string
	entry  map[string]any
}

// published returns an entry by id, and skips the test where its data may not
// be copied and the full collection is not at hand.
func published(t testing.TB, id string) reference {
	t.Helper()
	for _, folder := range []string{copied, elsewhere} {
		text, err := os.ReadFile(filepath.Join(folder, "certified.json"))
		if err != nil {
			continue
		}
		var all struct {
			Entries []map[string]any `json:"entries"`
		}
		if err := json.Unmarshal(text, &all); err != nil {
			t.Fatalf("%s: %v", folder, err)
		}
		for _, e := range all.Entries {
			if e["id"] == id {
				return reference{id: id, folder: folder, entry: e}
			}
		}
	}
	t.Skipf("%s: its data may not be copied and %s is not here", id, elsewhere)
	return reference{}
}

// at walks down the entry: at("computed", "quantiles", "0.025", "bca").
func (r reference) at(t testing.TB, path ...string) any {
	t.Helper()
	var here any = r.entry
	for _, key := range path {
		m, ok := here.(map[string]any)
		if !ok || m[key] == nil {
			t.Fatalf("%s has no %s", r.id, strings.Join(path, "/"))
		}
		here = m[key]
	}
	return here
}

// has reports whether the entry gives a value.
func (r reference) has(path ...string) bool {
	var here any = r.entry
	for _, key := range path {
		m, ok := here.(map[string]any)
		if !ok || m[key] == nil {
			return false
		}
		here = m[key]
	}
	return true
}

// number returns one value of the entry.
func (r reference) number(t testing.TB, path ...string) float64 {
	t.Helper()
	return toNumber(t, r.at(t, path...))
}

// numbers returns a list of values of the entry.
func (r reference) numbers(t testing.TB, path ...string) []float64 {
	t.Helper()
	list, ok := r.at(t, path...).([]any)
	if !ok {
		t.Fatalf("%s: %s is no list", r.id, strings.Join(path, "/"))
	}
	out := make([]float64, len(list))
	for i, v := range list {
		out[i] = toNumber(t, v)
	}
	return out
}

func toNumber(t testing.TB, v any) float64 {
	t.Helper()
	switch v := v.(type) {
	case float64:
		return v
	case string:
		x, err := strconv.ParseFloat(v, 64)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	t.Fatalf("%v is no number", v)
	return math.NaN()
}

// text returns a column of the entry's data set as written.
func (r reference) text(t testing.TB, column string) []string {
	t.Helper()
	name, _, _ := strings.Cut(r.at(t, "dataset").(string), " ")
	file, err := os.Open(filepath.Join(r.folder, name))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	j := slices.Index(rows[0], column)
	if j < 0 {
		t.Fatalf("%s has no column %s", name, column)
	}
	var out []string
	for _, row := range rows[1:] {
		out = append(out, row[j])
	}
	return out
}

// column returns a column of the entry's data set.
func (r reference) column(t testing.TB, column string) []float64 {
	t.Helper()
	cells := r.text(t, column)
	out := make([]float64, len(cells))
	for i, c := range cells {
		out[i] = toNumber(t, c)
	}
	return out
}

// columns returns several columns of the entry's data set.
func (r reference) columns(t testing.TB, names ...string) [][]float64 {
	t.Helper()
	out := make([][]float64, len(names))
	for j, name := range names {
		out[j] = r.column(t, name)
	}
	return out
}

// near checks a value against a wanted one to a relative tolerance.
func near(t testing.TB, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: got %.17g, want %.17g (relative difference %.2g, allowed %.2g)",
			what, got, want, math.Abs(got-want)/math.Abs(want), relative)
	}
}

// nearAll checks a list of values to a relative tolerance.
func nearAll(t testing.TB, what string, got, want []float64, relative float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: got %d values, want %d", what, len(got), len(want))
	}
	for i := range want {
		near(t, what+" "+strconv.Itoa(i), got[i], want[i], relative)
	}
}

// digits is the log relative error -log10(|got-want|/|want|), the absolute
// error where want is zero, at most 15: the number of digits that agree.
func digits(got, want float64) float64 {
	d := math.Abs(got - want)
	if want != 0 {
		d /= math.Abs(want)
	}
	if math.IsNaN(d) {
		return 0
	}
	return math.Max(0, math.Min(15, -math.Log10(d)))
}
