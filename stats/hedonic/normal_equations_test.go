package hedonic

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

// Coefficients on Longley's (1967) data. Without a prior: certified by NIST/ITL,
// StRD, Linear Least Squares, Longley. With one: computed with R 4.2.2, MASS
// 7.3-58.2 (Venables and Ripley, Modern Applied Statistics with S, 2002),
// lm.ridge, which penalises columns scaled by their standard deviations with
// divisor n.
var longley = []struct {
	prior float64 // prior precision of every coefficient except the constant
	coef  []float64
}{
	{0, []float64{-3482258.63459582, 15.0618722713733, -0.0358191792925910, -2.02022980381683, -1.03322686717359, -0.0511041056535807, 1829.15146461355}},
	{0.001, []float64{-3252542.92467911, 7.14896597455969, -0.0278813239359839, -1.90439165847484, -1.00190228330603, -0.0837472787700029, 1712.18698332889}},
	{0.01, []float64{-2307348.32788682, -2.49993555592598, -0.00186823671886992, -1.50426650795791, -0.872842221955483, -0.14894365117187, 1227.02083201008}},
	{0.1, []float64{-952429.073366243, 61.3640278153822, 0.0116324720736025, -1.17881017177011, -0.657491874276883, 0.00747415973953998, 517.573369372809}},
	{1, []float64{-408547.398907465, 85.7468584437062, 0.0112811522571001, -0.821936945938027, -0.291795574628848, 0.117218872270673, 230.438924838661}},
	{10, []float64{-252374.266121736, 66.536542075237, 0.007804555935473, -0.0458914721338307, 0.321842490672659, 0.100277158565163, 151.155073501218}},
}

// readLongley returns the rows of the set: y, then x1 to x6.
func readLongley(t *testing.T) [][]float64 {
	t.Helper()
	file, err := os.Open("../../testdata/references/strd_longley.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	records, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out [][]float64
	for _, r := range records[1:] {
		row := make([]float64, len(r))
		for j, cell := range r {
			if row[j], err = strconv.ParseFloat(cell, 64); err != nil {
				t.Fatal(err)
			}
		}
		out = append(out, row)
	}
	return out
}

func TestNormalEquationsWithPriorsAgainstMASS(t *testing.T) {
	rows := readLongley(t)
	p := len(rows[0])
	mean, sd := make([]float64, p), make([]float64, p)
	for j := range p {
		column := make([]float64, len(rows))
		for i, r := range rows {
			column[i] = r[j]
		}
		n := float64(len(rows))
		mean[j], sd[j] = num.Mean(column), num.SD(column)*math.Sqrt((n-1)/n)
	}
	for _, known := range longley {
		c := newNormalEquations(p)
		for _, r := range rows {
			row := []float64{1}
			for j := 1; j < p; j++ {
				row = append(row, (r[j]-mean[j])/sd[j])
			}
			c.add(0, row, r[0]-mean[0], 1)
		}
		for j := 1; j < p; j++ {
			c.a[j*p+j] += known.prior
		}
		solved := newCholesky(p)
		if err := solved.of(c.a); err != nil {
			t.Fatal(err)
		}
		got := slices.Clone(c.b)
		solved.solve(got)
		got[0] += mean[0]
		for j := 1; j < p; j++ {
			got[j] /= sd[j]
			got[0] -= got[j] * mean[j]
		}
		nearRelative(t, fmt.Sprintf("prior %g", known.prior), got, known.coef, 1e-8)
	}
}

// Removing rows from the normal equations gives the same fit as least squares by
// QR on the remaining rows, with each prior as an extra row.
func TestRowsTakenOutLikeRefits(t *testing.T) {
	for _, size := range []int{1, 2, 4} {
		const n, p = 32, 6
		rng := rand.New(rand.NewPCG(uint64(size), 7))
		prior := []float64{0, 0, 0.02, 0.4, 3, 50}
		rows, y, weights := make([][]float64, n), make([]float64, n), make([]float64, n)
		all := newNormalEquations(p)
		for j, v := range prior {
			all.a[j*p+j] = v
		}
		for i := range rows {
			rows[i] = []float64{1}
			for range p - 1 {
				rows[i] = append(rows[i], rng.NormFloat64())
				y[i] += 0.3 * rows[i][len(rows[i])-1]
			}
			y[i] += rng.NormFloat64()
			weights[i] = 0.05 + rng.Float64()
			all.add(0, rows[i], y[i], weights[i])
		}
		without, solved := newNormalEquations(p), newCholesky(p)
		for first := 0; first < n; first += size {
			taken := func(i int) bool { return i*7%n/size == first/size } // scattered
			without.set(all)
			d := linear.Design{NoIntercept: true, Columns: make([][]float64, p)}
			var left []float64
			add := func(row []float64, y, weight float64) {
				for j, v := range row {
					d.Columns[j] = append(d.Columns[j], math.Sqrt(weight)*v)
				}
				left = append(left, math.Sqrt(weight)*y)
			}
			for i := range rows {
				if taken(i) {
					without.add(0, rows[i], y[i], -weights[i])
				} else {
					add(rows[i], y[i], weights[i])
				}
			}
			for j, v := range prior {
				if v > 0 {
					row := make([]float64, p)
					row[j] = 1
					add(row, 0, v)
				}
			}
			refit, err := linear.LeastSquares(d, left)
			if err != nil {
				t.Fatal(err)
			}
			if err := solved.of(without.a); err != nil {
				t.Fatal(err)
			}
			coef := slices.Clone(without.b)
			solved.solve(coef)
			name := fmt.Sprintf("%d taken out from %d on", size, first)
			nearRelative(t, name, coef, refit.Coef, 1e-8)
			for i := range rows {
				fit := 0.0
				for j, v := range rows[i] {
					fit += v * coef[j]
				}
				want, se := refit.PredictionSE(rows[i])
				variance := se*se/(refit.ResidualSD*refit.ResidualSD) - 1
				nearRelative(t, name+", error and variance", []float64{y[i] - fit, solved.square(slices.Clone(rows[i]))}, []float64{y[i] - want, variance}, 1e-8)
			}
			squares := 0.0
			for i := range rows {
				if !taken(i) {
					squares += weights[i] * y[i] * y[i]
				}
			}
			nearRelative(t, name+", squares", []float64{without.yy}, []float64{squares}, 1e-10)
		}
	}
}

// nearRelative compares values one by one, relative to the larger of their size and
// 0.001.
func nearRelative(t *testing.T, what string, got, want []float64, tolerance float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: %d values, want %d", what, len(got), len(want))
	}
	for j := range want {
		if !(math.Abs(got[j]-want[j]) <= tolerance*math.Max(math.Abs(want[j]), 1e-3)) {
			t.Errorf("%s, value %d: %.15g, want %.15g", what, j, got[j], want[j])
		}
	}
}
