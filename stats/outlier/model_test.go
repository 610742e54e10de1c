package outlier

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"pleatstat/stats/linear"
	"pleatstat/stats/robust"
)

// market simulates log prices on log areas: slope 0.9, spread 0.25, a share of the
// parts priced at factor times the rest.
func market(rng *rand.Rand, n int, share, factor float64) (x, y []float64) {
	for i := range n {
		x = append(x, 6+1.4*rng.Float64())
		y = append(y, 0.9*x[i]-3+0.25*rng.NormFloat64())
		if float64(i) < share*float64(n) {
			y[i] += math.Log(factor)
		}
	}
	return x, y
}

func fitted(t testing.TB, y []float64, columns ...[]float64) *Model {
	t.Helper()
	f, err := robust.RobustLine(linear.Design{Columns: columns}, y, robust.RobustOptions{})
	if err != nil {
		t.Fatal(err)
	}
	m, err := Fit(columns, y, Start{f.Fitted, f.Scale})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// graded reports which rows are clear and probable outliers: above, below, and
// two-sided.
func graded(t testing.TB, m *Model) (out [3][2][]bool) {
	t.Helper()
	for k, e := range []Evidence{m.High, m.Low, TwoSided(m.High, m.Low)} {
		clear, probable, err := e.Q()
		if err != nil {
			t.Fatal(err)
		}
		for i := range clear {
			out[k][0], out[k][1] = append(out[k][0], clear[i] <= Level), append(out[k][1], probable[i] <= Level)
		}
	}
	return out
}

func TestFindsWhatIsPlanted(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for _, n := range []int{40, 260, 3000, 20_000} {
		x, y := market(rng, n, 0.05, 5)
		m := fitted(t, y, x)
		found, wrong := 0, 0
		for i, flagged := range graded(t, m)[0][1] {
			switch {
			case flagged && i < n/20:
				found++
			case flagged:
				wrong++
			}
			if low := m.Clean[i] < 0.5; low != (i < n/20) && flagged != (i < n/20) && math.Abs(m.Residual[i]) > 1.2 {
				t.Errorf("n %d: row %d, %.2f off, is honest with chance %.2f", n, i, m.Residual[i], m.Clean[i])
			}
		}
		if found < n/20*9/10 || wrong > 4+found/10 {
			t.Errorf("n %d: %d of %d planted rows found, %d others", n, found, n/20, wrong)
		}
		if low, high := m.Interval(1, 0.999); low > 0.9 || high < 0.9 {
			t.Errorf("n %d: slope %.3f to %.3f, planted 0.9", n, low, high)
		}
		if m.Spread < 0.2 || m.Spread > 0.3 {
			t.Errorf("n %d: spread %.3f, planted 0.25", n, m.Spread)
		}
	}
}

// Of 60 rows, three far above and one far below the line are shifted rows, not
// long tails: the rest scatter normally and no row lies in between. On average at
// least three of the four must be probable.
func TestFindsRowsOnBothSides(t *testing.T) {
	const logs = 20
	missed := 0
	for seed := range uint64(logs) {
		rng := rand.New(rand.NewPCG(seed, 60))
		x, y := make([]float64, 60), make([]float64, 60)
		for i := range x {
			x[i] = 4 + rng.Float64()
			y[i] = 0.9*x[i] + 0.15*rng.NormFloat64()
		}
		off := map[int]float64{7: 0.98, 23: 0.86, 41: 0.72, 55: -0.82}
		for i, by := range off {
			y[i] = 0.9*x[i] + by
		}
		g := graded(t, fitted(t, y, x))
		for i, by := range off {
			if !(by > 0 && g[0][1][i] || by < 0 && g[1][1][i]) {
				missed++
			}
		}
	}
	if missed > logs {
		t.Errorf("%d of %d shifted rows missed", missed, 4*logs)
	}
}

func TestGradesDoNotDependOnUnitsOrOrder(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	mapped := func(v []float64, by func(float64) float64) (out []float64) {
		for _, x := range v {
			out = append(out, by(x))
		}
		return out
	}
	for trial := range 6 {
		n := 20 + rng.IntN(100)
		x, y := market(rng, n, 0.08, 2.2)
		beforeX, beforeY := slices.Clone(x), slices.Clone(y)
		want := graded(t, fitted(t, y, x))
		if !slices.Equal(x, beforeX) || !slices.Equal(y, beforeY) {
			t.Fatal("input was modified")
		}
		order := rng.Perm(n)
		mixedX, mixedY := make([]float64, n), make([]float64, n)
		for i, from := range order {
			mixedX[i], mixedY[i] = x[from], y[from]
		}
		turned := func(v float64) float64 { return -v }
		for what, c := range map[string]struct{ x, y []float64 }{
			"other units":     {mapped(x, func(v float64) float64 { return v - 1.86 }), mapped(y, func(v float64) float64 { return v + 3 })},
			"both scaled":     {mapped(x, func(v float64) float64 { return 25.4 * v }), mapped(y, func(v float64) float64 { return 0.0353 * v })},
			"other row order": {mixedX, mixedY},
			"x turned round":  {mapped(x, turned), y},
			"upside down":     {x, mapped(y, turned)},
		} {
			got := graded(t, fitted(t, c.y, c.x))
			if what == "upside down" {
				got[0], got[1] = got[1], got[0]
			}
			for k := range want {
				for grade := range want[k] {
					for i := range n {
						at := i
						if what == "other row order" {
							at = order[i]
						}
						if got[k][grade][i] != want[k][grade][at] {
							t.Errorf("trial %d, %s: row %d changes its grade", trial, what, at)
						}
					}
				}
			}
		}
	}
}

// The gradient of the likelihood agrees with finite differences.
func TestGradientAgreesWithDifferences(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	all := shapes()
	r := &rows{n: 30, p: 1, floor: -5}
	for i := range r.n {
		r.z, r.y = append(r.z, 1), append(r.y, rng.NormFloat64())
		r.along = append(r.along, float64(i)/10-1.5)
	}
	r.y[4], r.y[20] = 3.3, -4.1
	for s := range all {
		for g, of := range groups([2]bool{true, true}) {
			l := newLikelihood(r, &all[s], of.ways)
			point, got := []float64{0.1, -0.2, 0.05}, make([]float64, 3)
			l.at(point, got)
			room := make([]float64, 3)
			want := fd.Gradient(nil, func(x []float64) float64 { return l.at(x, room) }, point, &fd.Settings{Formula: fd.Central})
			if !floats.EqualApprox(got, want, 2e-3*floats.Norm(want, 2)+1e-5) {
				t.Errorf("%s, group %d: gradient %v, by differences %v", all[s].Name, g, got, want)
			}
		}
	}
}

// If more than half of the rows lie on one line, the others are not outliers for
// that reason alone.
func TestRowsOnOneLine(t *testing.T) {
	var x, y []float64
	for i := range 20 {
		x, y = append(x, float64(i)), append(y, 2*float64(i)+1)
	}
	m := fitted(t, y, x)
	if math.Abs(m.Coef[0]-1) > 1e-9 || math.Abs(m.Coef[1]-2) > 1e-9 {
		t.Errorf("coefficients %v, want 1 and 2", m.Coef)
	}
	for i := 0; i < 20; i += 3 {
		y[i] += 0.5
	}
	m = fitted(t, y, x)
	for k, sides := range graded(t, m) {
		if slices.Contains(sides[1], true) {
			t.Errorf("side %d: rows half a step off are called outliers", k)
		}
	}
	_, low, high := m.Ranges([][]float64{x}, 0.95)
	for i := range x {
		if !(low[i] < high[i]) {
			t.Errorf("range %v to %v", low[i], high[i])
		}
	}
}

// published returns two columns of a published data set, both as logarithms.
func published(t *testing.T, file, response, predictor string) (x, y []float64) {
	t.Helper()
	f, err := os.Open("../../testdata/references/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, record := range records[1:] {
		for k, name := range records[0] {
			v, err := strconv.ParseFloat(record[k], 64)
			if err != nil {
				t.Fatal(err)
			}
			switch name {
			case response:
				y = append(y, math.Log(v))
			case predictor:
				x = append(x, math.Log(v))
			}
		}
	}
	return x, y
}

// Two real markets without planted outliers. Their residuals are skewed up and
// long-tailed, so that outliers that are probable under normal scatter are not
// clear. Data: MASS 7.3-58.2, Cars93 (93 rows) and cpus (209 rows); moments by R
// 4.2.2.
func TestRealMarkets(t *testing.T) {
	for _, c := range []struct {
		file, response, predictor string
		n                         int
		skewness, kurtosis        float64
		clear, probable           int
	}{
		{"cars93.csv", "price", "horsepower", 93, 0.4998406, 0.6757576, 0, 0},
		{"cpus.csv", "performance", "memory", 209, 0.7950473, 2.2055543, 0, 3},
	} {
		x, y := published(t, c.file, c.response, c.predictor)
		if len(y) != c.n {
			t.Fatalf("%s: %d rows, want %d", c.file, len(y), c.n)
		}
		plain, err := linear.LeastSquares(linear.Design{Columns: [][]float64{x}}, y)
		if err != nil {
			t.Fatal(err)
		}
		m2, m3, m4 := stat.Moment(2, plain.Residuals, nil), stat.Moment(3, plain.Residuals, nil), stat.Moment(4, plain.Residuals, nil)
		if s, k := m3/math.Pow(m2, 1.5), m4/m2/m2-3; math.Abs(s-c.skewness) > 1e-6 || math.Abs(k-c.kurtosis) > 1e-6 {
			t.Errorf("%s: skewness %.6f and excess kurtosis %.6f, want %.6f and %.6f", c.file, s, k, c.skewness, c.kurtosis)
		}
		m := fitted(t, y, x)
		g := graded(t, m)
		clear, probable := 0, 0
		for i, r := range m.Residual {
			if far := math.Abs(r) >= math.Log(1.25); far && (g[0][0][i] || g[1][0][i]) {
				clear++
			} else if far && (g[0][1][i] || g[1][1][i]) {
				probable++
			}
		}
		_, low, high := m.Ranges([][]float64{x}, 0.95)
		inside := 0
		for i, v := range y {
			if low[i] <= v && v <= high[i] {
				inside++
			}
		}
		t.Logf("%s: slope %.3f, spread %.3f growing by %.2f, %v; %d clear, %d probable, %d of %d inside 95 %% ranges",
			c.file, m.Coef[1], m.Spread, m.Growth, m.Shapes[:3], clear, probable, inside, c.n)
		if clear != c.clear || probable != c.probable {
			t.Errorf("%s: %d clear and %d probable, want %d and %d", c.file, clear, probable, c.clear, c.probable)
		}
	}
}

func benchmarkFit(b *testing.B, n int) {
	x, y := market(rand.New(rand.NewPCG(1, 2)), n, 0.08, 2.2)
	for b.Loop() {
		fitted(b, y, x)
	}
}

func BenchmarkFit60(b *testing.B)     { benchmarkFit(b, 60) }
func BenchmarkFit300(b *testing.B)    { benchmarkFit(b, 300) }
func BenchmarkFit5000(b *testing.B)   { benchmarkFit(b, 5000) }
func BenchmarkFit100000(b *testing.B) { benchmarkFit(b, 100_000) }
