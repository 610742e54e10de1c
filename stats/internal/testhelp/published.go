// Package testhelp holds helpers for the tests of the numerical packages: published
// values, seeds for fuzzing, comparison to a tolerance.
package testhelp

import (
	"encoding/csv"
	"encoding/json"
	"flag"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// Update is the flag -update, which rewrites golden files.
var Update = flag.Bool("update", false, "write golden files anew")

// Folders of published values: the copies in this repository, and the full
// collection, with data that may not be copied.
const (
	Copied    = "../../testdata/references"
	elsewhere = "../../../shared/references"
)

// Reference is one entry of certified.json: a method, a data set and the values
// published for it.
type Reference struct {
	Id     string
	folder string
	entry  map[string]any
}

// Published returns an entry by id. It skips the test if the data may not be copied
// and the full collection is not available.
func Published(t testing.TB, id string) Reference {
	t.Helper()
	for _, folder := range []string{Copied, elsewhere} {
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
				return Reference{Id: id, folder: folder, entry: e}
			}
		}
	}
	t.Skipf("%s: its data may not be copied and %s is not here", id, elsewhere)
	return Reference{}
}

// At returns the element at a path of keys, for example At(t, "computed",
// "quantiles", "0.025", "bca").
func (r Reference) At(t testing.TB, path ...string) any {
	t.Helper()
	var here any = r.entry
	for _, key := range path {
		m, ok := here.(map[string]any)
		if !ok || m[key] == nil {
			t.Fatalf("%s has no %s", r.Id, strings.Join(path, "/"))
		}
		here = m[key]
	}
	return here
}

// Has reports whether the entry has an element at a path of keys.
func (r Reference) Has(path ...string) bool {
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

// Number returns one value of the entry.
func (r Reference) Number(t testing.TB, path ...string) float64 {
	t.Helper()
	return ToNumber(t, r.At(t, path...))
}

// Numbers returns a list of values of the entry.
func (r Reference) Numbers(t testing.TB, path ...string) []float64 {
	t.Helper()
	list, ok := r.At(t, path...).([]any)
	if !ok {
		t.Fatalf("%s: %s is no list", r.Id, strings.Join(path, "/"))
	}
	out := make([]float64, len(list))
	for i, v := range list {
		out[i] = ToNumber(t, v)
	}
	return out
}

func ToNumber(t testing.TB, v any) float64 {
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

// Text returns a column of the entry's data set as text.
func (r Reference) Text(t testing.TB, column string) []string {
	t.Helper()
	name, _, _ := strings.Cut(r.At(t, "dataset").(string), " ")
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

// Column returns a column of the entry's data set.
func (r Reference) Column(t testing.TB, column string) []float64 {
	t.Helper()
	cells := r.Text(t, column)
	out := make([]float64, len(cells))
	for i, c := range cells {
		out[i] = ToNumber(t, c)
	}
	return out
}

// Columns returns several columns of the entry's data set.
func (r Reference) Columns(t testing.TB, names ...string) [][]float64 {
	t.Helper()
	out := make([][]float64, len(names))
	for j, name := range names {
		out[j] = r.Column(t, name)
	}
	return out
}

// Near checks that got equals want to a relative tolerance.
func Near(t testing.TB, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: got %.17g, want %.17g (relative difference %.2g, allowed %.2g)",
			what, got, want, math.Abs(got-want)/math.Abs(want), relative)
	}
}

// NearAll checks that lists of values agree to a relative tolerance.
func NearAll(t testing.TB, what string, got, want []float64, relative float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: got %d values, want %d", what, len(got), len(want))
	}
	for i := range want {
		Near(t, what+" "+strconv.Itoa(i), got[i], want[i], relative)
	}
}

// Digits returns the number of digits that agree, from 0 to 15: -log10 of the
// relative error, or of the absolute error if want is zero.
func Digits(got, want float64) float64 {
	d := math.Abs(got - want)
	if want != 0 {
		d /= math.Abs(want)
	}
	if math.IsNaN(d) {
		return 0
	}
	return math.Max(0, math.Min(15, -math.Log10(d)))
}

// Mapped returns f of each element of x.
func Mapped(x []float64, f func(float64) float64) []float64 {
	out := make([]float64, len(x))
	for i, v := range x {
		out[i] = f(v)
	}
	return out
}

// Picked returns the elements of x at the given rows.
func Picked(x []float64, rows []int) []float64 {
	out := make([]float64, len(rows))
	for k, i := range rows {
		out[k] = x[i]
	}
	return out
}

func CountUpTo(q []float64, level float64) int {
	n := 0
	for _, v := range q {
		if v <= level {
			n++
		}
	}
	return n
}

// Printed checks that a value agrees with a published one to its last printed digit,
// regardless of sign.
func Printed(t *testing.T, what string, got float64, want string) {
	t.Helper()
	decimals := 0
	mantissa, _, _ := strings.Cut(want, "e")
	if _, after, ok := strings.Cut(mantissa, "."); ok {
		decimals = len(after)
	}
	format := byte('f')
	if strings.Contains(want, "e") {
		format = 'e'
	}
	if text := strconv.FormatFloat(got, format, decimals, 64); text != want && text != "-"+want {
		t.Errorf("%s: got %s, published %s", what, text, want)
	}
}

// PublishedText returns a published value as printed.
func PublishedText(t *testing.T, r Reference, path ...string) string {
	t.Helper()
	text, ok := r.At(t, path...).(string)
	if !ok {
		t.Fatalf("%s: %v is no text", r.Id, path)
	}
	return text
}

// Coarse draws n integers from 0 to steps-1, so that many are tied.
func Coarse(rng *rand.Rand, n, steps int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = float64(rng.IntN(steps))
	}
	return v
}

// CheckChances fails the test if a p- or q-value is not between 0 and 1.
func CheckChances(t *testing.T, p []float64) {
	t.Helper()
	for i, v := range p {
		if !(v >= 0 && v <= 1) {
			t.Fatalf("chance %d is %v", i, v)
		}
	}
}
