package stats_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/linear"
	"pleatstat/stats/num"
	"pleatstat/stats/rank"
	"pleatstat/stats/robust"
)

// crossCheckVariable is the environment variable that enables the comparison with R,
// which takes some seconds and needs R and robustbase (Debian: r-base-core,
// r-cran-robustbase).
const crossCheckVariable = "PLEATSTAT_CROSSCHECK"

const (
	crossCheckLogs  = 50
	exactAgreement  = 1e-9 // relative
	robustAgreement = 1e-4
)

// randomLog is a realistic log: log price, log media area and can mass, rounded as
// they would be written down (so that there are ties), with some overpriced parts.
type randomLog struct{ area, mass, price, p []float64 }

func newRandomLog(seed uint64) randomLog {
	rng := rand.New(rand.NewPCG(seed, 50))
	n := 20 + rng.IntN(180)
	planted := rng.Float64() * 0.15
	var l randomLog
	for range n {
		area := 300 * math.Exp(0.4*rng.NormFloat64())
		mass := math.Round(60*math.Exp(0.25*rng.NormFloat64())*10) / 10
		price := 0.02*area + 0.03*mass
		price *= math.Exp(0.2 * rng.NormFloat64())
		if rng.Float64() < planted {
			price *= 2.2
		}
		l.area = append(l.area, math.Log(math.Round(area)))
		l.mass = append(l.mass, mass)
		l.price = append(l.price, math.Log(math.Round(price*10)/10))
	}
	return l
}

// results holds the results for one log, by name.
type results map[string][]float64

func (l *randomLog) results(t *testing.T) results {
	t.Helper()
	d := linear.Design{Columns: [][]float64{l.area, l.mass}}
	f, err := linear.LeastSquares(d, l.price)
	if err != nil {
		t.Fatal(err)
	}
	student := distuv.StudentsT{Sigma: 1, Nu: float64(f.DF - 1)}
	for _, r := range f.Deleted {
		// Two digits, so that some are equal.
		l.p = append(l.p, math.Round(200*student.Survival(math.Abs(r)))/100)
	}
	q, err := num.BenjaminiHochberg(l.p)
	if err != nil {
		t.Fatal(err)
	}
	k, err := rank.BlockedKendall([]num.Series{{T: l.area, Y: l.price}})
	if err != nil {
		t.Fatal(err)
	}
	w, wp, err := linear.ShapiroWilk(l.price)
	if err != nil {
		t.Fatal(err)
	}
	robust, err := robust.RobustLine(d, l.price, robust.RobustOptions{Starts: 5000})
	if err != nil {
		t.Fatal(err)
	}
	return results{
		"coefficients": f.Coef, "standard errors": f.SE, "leverage": f.Leverage,
		"deleted residuals": f.Deleted, "cook": f.Cook, "residual SD": {f.ResidualSD},
		"q": q, "kendall S": {float64(k.S)}, "kendall tau": {k.Each[0].TauB}, "shapiro": {w, wp},
		"robust coefficients": robust.Coef, "robust scale": {robust.Scale},
	}
}

// Fifty random logs, compared with R: least squares, influence, adjusted p-values,
// rank correlation and the Shapiro–Wilk test to 1e-9, the robust line of robustbase
// to 1e-4.
func TestCrossCheckWithR(t *testing.T) {
	if os.Getenv(crossCheckVariable) == "" {
		t.Skipf("set %s=1 to compare with R", crossCheckVariable)
	}
	program, err := exec.LookPath("Rscript")
	if err != nil {
		t.Skip("Rscript is not installed: no comparison with R (Debian: r-base-core r-cran-robustbase)")
	}
	if err := exec.Command(program, "-e", "library(robustbase)").Run(); err != nil {
		t.Skip("R has no robustbase: no comparison with R (Debian: r-cran-robustbase)")
	}
	input := filepath.Join(t.TempDir(), "logs.csv")
	output := filepath.Join(t.TempDir(), "results.csv")
	var ours []results
	rows := [][]string{{"log", "x1", "x2", "y", "p"}}
	for k := range crossCheckLogs {
		l := newRandomLog(uint64(k))
		ours = append(ours, l.results(t))
		for i := range l.price {
			rows = append(rows, []string{strconv.Itoa(k), full(l.area[i]), full(l.mass[i]), full(l.price[i]), full(l.p[i])})
		}
	}
	writeCSV(t, input, rows)
	said, err := exec.Command(program, "--vanilla", "../testdata/crosscheck/crosscheck.R", input, output).CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, said)
	}
	t.Logf("compared with %s", said)

	worst := map[string]float64{}
	count := 0
	for _, row := range readCSV(t, output)[1:] {
		k, _ := strconv.Atoi(row[0])
		i, _ := strconv.Atoi(row[2])
		what := row[1]
		want, err := strconv.ParseFloat(row[3], 64)
		if err != nil || k >= len(ours) || i >= len(ours[k][what]) {
			t.Fatalf("R's result %v does not fit ours", row)
		}
		got := ours[k][what][i]
		// Residuals and distances may be near zero: compare them absolutely below 1.
		size := math.Abs(want)
		if what == "deleted residuals" || what == "cook" {
			size = math.Max(size, 1)
		}
		allowed := exactAgreement
		if strings.HasPrefix(what, "robust") {
			allowed = robustAgreement
		}
		off := math.Abs(got - want)
		if size > 0 {
			off /= size
		}
		if !(off <= allowed) {
			t.Errorf("log %d, %s %d: ours %.15g, R %.15g", k, what, i, got, want)
		}
		worst[what] = math.Max(worst[what], off)
		count++
	}
	expected := 0
	for _, r := range ours {
		for _, values := range r {
			expected += len(values)
		}
	}
	if count != expected {
		t.Errorf("R gives %d results, ours are %d", count, expected)
	}
	for what, off := range worst {
		t.Logf("%-20s differ by at most %.1e", what, off)
	}
}

func full(v float64) string { return fmt.Sprintf("%.17g", v) }

func writeCSV(t *testing.T, path string, rows [][]string) {
	t.Helper()
	file, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	if err := csv.NewWriter(file).WriteAll(rows); err != nil {
		t.Fatal(err)
	}
}

func readCSV(t *testing.T, path string) [][]string {
	t.Helper()
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}
