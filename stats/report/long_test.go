package report

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/dataset"
	"pleatstat/stats/check"
	"pleatstat/stats/drift"
	"pleatstat/stats/trend"
)

// generated returns a log from the generator.
func generated(t testing.TB, rows, parts int) []byte {
	t.Helper()
	var text bytes.Buffer
	if _, err := sim.Workshop(&text, sim.WorkshopOptions{Rows: rows, Parts: parts, Seed: 3, MainColumns: rows > 10_000}); err != nil {
		t.Fatal(err)
	}
	return text.Bytes()
}

func readText(t testing.TB, text []byte) *dataset.Log {
	t.Helper()
	log, err := dataset.Read(bytes.NewReader(text), "pooled.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return log
}

// productKey is a map key of a product; names in a log cannot contain the
// separator.
func productKey(maker, part string) string { return maker + "\x1f" + part }

// plainProduct is one product, summed cell by cell.
type plainProduct struct {
	logX, logY float64
	n          int
	years      []float64 // of the openings with a can gauge and a date
}

// plainly reads the log cell by cell: a slow check of the columns that the
// analyses use.
func plainly(log *dataset.Log) map[string]*plainProduct {
	opened := log.Floats("opened")
	products := map[string]*plainProduct{}
	value := func(row int, column string) float64 {
		if c, ok := log.Cell(row, column); ok {
			return c.Value
		}
		return math.NaN()
	}
	for row := range log.Rows() {
		maker, _ := log.Cell(row, "maker")
		part, _ := log.Cell(row, "part")
		key := productKey(maker.Text, part.Text)
		if maker.Text == "" || part.Text == "" {
			key = fmt.Sprint("row ", row)
		}
		p := products[key]
		if p == nil {
			p = &plainProduct{}
			products[key] = p
		}
		const mm2PerCm2 = 100
		x, y := value(row, "media_length")*value(row, "element_width")/mm2PerCm2, value(row, "media_mass")
		if x > 0 && y > 0 {
			p.logX, p.logY, p.n = p.logX+math.Log(x), p.logY+math.Log(y), p.n+1
		}
		if !math.IsNaN(opened[row]) && !math.IsNaN(value(row, "can_gauge")) {
			p.years = append(p.years, opened[row])
		}
	}
	return products
}

// near reports whether two numbers agree to nine digits.
func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Max(1, math.Abs(b)) }

// The fast methods for long logs (columns instead of frames, selection instead of
// sorting, O(n log n) instead of all pairs) agree with plain arithmetic over the
// cells.
func TestALongLogAgreesWithPlainArithmetic(t *testing.T) {
	log := readText(t, generated(t, 25_000, 500))
	checked, err := check.Run(log, check.Options{})
	if err != nil {
		t.Fatal(err)
	}
	found, err := Build(context.Background(), log, Options{})
	if err != nil {
		t.Fatal(err)
	}
	products := plainly(log.SetAside(checked.SetAside))

	at := slices.IndexFunc(found.Trends, func(tr *trend.Trend) bool { return tr.ID == "media_mass-media_area" })
	tr := found.Trends[at]
	var x, y []float64
	for _, p := range tr.Points {
		plain := products[productKey(p.Maker, p.Part)]
		if plain == nil || plain.n != p.N {
			t.Fatalf("%s %s: %d openings, plainly %+v", p.Maker, p.Part, p.N, plain)
		}
		lx, ly := plain.logX/float64(plain.n), plain.logY/float64(plain.n)
		if !near(math.Log(p.X), lx) || !near(math.Log(p.Y), ly) {
			t.Fatalf("%s %s at %v, %v, plainly %v, %v", p.Maker, p.Part, p.X, p.Y, math.Exp(lx), math.Exp(ly))
		}
		x, y = append(x, lx), append(y, ly)
	}
	if len(x) < 300 {
		t.Fatalf("only %d points: the test shows little", len(x))
	}
	slope, intercept := leastSquares(x, y)
	if !near(tr.LeastSquares.Slope, slope) || !near(tr.LeastSquares.Intercept, intercept) {
		t.Errorf("least squares %v, %v, plainly %v, %v", tr.LeastSquares.Slope, tr.LeastSquares.Intercept, slope, intercept)
	}
	if plain := medianSlope(x, y); !near(tr.Theil.Slope, plain) {
		t.Errorf("median slope %v, from all pairs %v", tr.Theil.Slope, plain)
	}
	compareCounts(t, found.Drift, products, log)
}

// leastSquares is the textbook least squares line.
func leastSquares(x, y []float64) (slope, intercept float64) {
	var mx, my, xx, xy float64
	n := float64(len(x))
	for i := range x {
		mx, my = mx+x[i]/n, my+y[i]/n
	}
	for i := range x {
		xx += (x[i] - mx) * (x[i] - mx)
		xy += (x[i] - mx) * (y[i] - my)
	}
	return xy / xx, my - xy/xx*mx
}

// medianSlope is the median slope over all pairs.
func medianSlope(x, y []float64) float64 {
	var slopes []float64
	for i := range x {
		for j := range i {
			if x[i] != x[j] {
				slopes = append(slopes, (y[i]-y[j])/(x[i]-x[j]))
			}
		}
	}
	slices.Sort(slopes)
	n := len(slopes)
	return (slopes[(n-1)/2] + slopes[n/2]) / 2
}

// compareCounts compares the openings used for each maker's drift of can gauge
// with those counted cell by cell.
func compareCounts(t *testing.T, entries []drift.Entry, products map[string]*plainProduct, log *dataset.Log) {
	t.Helper()
	want := map[string]int{}
	for row := range log.Rows() {
		maker := log.Word(row, "maker")
		key := productKey(maker, log.Word(row, "part"))
		p := products[key]
		if p == nil || len(p.years) == 0 || slices.Min(p.years) == slices.Max(p.years) {
			continue
		}
		want[maker] += len(p.years)
		p.years = nil // counted
	}
	makers := 0
	for _, e := range entries {
		if e.Measure != "can_gauge" || e.Part != "" {
			continue
		}
		makers++
		if e.N != want[e.Maker] {
			t.Errorf("%s: %d openings behind the drift of the gauge, counted %d", e.Maker, e.N, want[e.Maker])
		}
	}
	if makers < 5 {
		t.Errorf("only %d makers compared", makers)
	}
}
