package stats

import (
	"encoding/binary"
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

// mapped returns a copy of x with f applied.
func mapped(x []float64, f func(float64) float64) []float64 {
	out := make([]float64, len(x))
	for i, v := range x {
		out[i] = f(v)
	}
	return out
}

// picked returns x at the rows given.
func picked(x []float64, rows []int) []float64 {
	out := make([]float64, len(rows))
	for k, i := range rows {
		out[k] = x[i]
	}
	return out
}

func countUpTo(q []float64, level float64) int {
	n := 0
	for _, v := range q {
		if v <= level {
			n++
		}
	}
	return n
}

// printed checks a value against a published one to its last printed digit.
func printed(t *testing.T, what string, got float64, want string) {
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

// publishedText returns a published value as printed.
func publishedText(t *testing.T, r reference, path ...string) string {
	t.Helper()
	text, ok := r.at(t, path...).(string)
	if !ok {
		t.Fatalf("%s: %v is no text", r.id, path)
	}
	return text
}

// coarse draws values on a coarse grid, so that many are tied.
func coarse(rng *rand.Rand, n, steps int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = float64(rng.IntN(steps))
	}
	return v
}

// checkChances fails where a p- or q-value is not a number from 0 to 1.
func checkChances(t *testing.T, p []float64) {
	t.Helper()
	for i, v := range p {
		if !(v >= 0 && v <= 1) {
			t.Fatalf("chance %d is %v", i, v)
		}
	}
}

// floatsOf reads any bytes as float64 values.
func floatsOf(data []byte) []float64 {
	x := make([]float64, len(data)/8)
	for i := range x {
		x[i] = math.Float64frombits(binary.LittleEndian.Uint64(data[8*i:]))
	}
	return x
}

// bytesOf is its inverse, for seeds.
func bytesOf(x ...float64) []byte {
	var data []byte
	for _, v := range x {
		data = binary.LittleEndian.AppendUint64(data, math.Float64bits(v))
	}
	return data
}

// fuzzSeeds are samples that have broken numerics elsewhere: none, equal, huge,
// tiny, of mixed size, not finite, collinear.
func fuzzSeeds(f *testing.F) {
	for _, x := range [][]float64{
		{}, {1}, {1, 1, 1, 1, 1, 1, 1, 1},
		{1, 2, 3, 4, 5, 6, 7, 8.5, 9, 11, 10, 13},
		{math.MaxFloat64, -math.MaxFloat64, 1, 0, math.MaxFloat64, 3, 2, 1},
		{5e-324, 0, 1e-310, 5e-324, 3, 2, 1, 7},
		{1e300, 1e-300, 1, 2, 3, 1e200, 5, 6, -7, 1e-200, 3, 4},
		{math.NaN(), 1, 2, math.Inf(1), 3, 4, math.Inf(-1), 5},
		{1e16, 1e16 + 2, 1e16, 1e16 + 4, 1, 2, 3, 4, 1, 2, 3, 5},
	} {
		f.Add(bytesOf(x...), uint8(2))
	}
}
