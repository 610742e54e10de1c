package pool

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
)

// Batting averages of 18 players over their first 45 attempts of 1970 and their
// James–Stein estimates: Efron and Morris (1975), Journal of the American
// Statistical Association 70, 311–319, and their article in Scientific American 236
// (1977), 119–127, which prints the shrinking factor as 0.212. From memory.
var batting = []struct{ first, moved float64 }{
	{.400, .294}, {.378, .289}, {.356, .285}, {.333, .280}, {.311, .275}, {.311, .275},
	{.289, .270}, {.267, .266}, {.244, .261}, {.244, .261}, {.222, .256}, {.222, .256},
	{.222, .256}, {.222, .256}, {.222, .256}, {.200, .251}, {.178, .247}, {.156, .242},
}

func TestMeansIsJamesSteinWithEqualVariances(t *testing.T) {
	var mean float64
	for _, p := range batting {
		mean += p.first / float64(len(batting))
	}
	variance := mean * (1 - mean) / 45
	var groups []Group
	for _, p := range batting {
		groups = append(groups, Group{Mean: p.first, Variance: variance})
	}
	got, err := Means(groups)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(got.Mean-.265) > .0006 {
		t.Errorf("mean %.4f, printed .265", got.Mean)
	}
	for i, p := range batting {
		if g := got.Groups[i]; math.Abs(g.Weight-.212) > .005 || math.Abs(g.Mean-p.moved) > .0015 {
			t.Errorf("player %d: %.4f with weight %.4f, printed %.3f with .212", i+1, g.Mean, g.Weight, p.moved)
		}
	}
}

// Thirteen trials of a vaccine against tuberculosis (cases and others among the
// vaccinated, then among the unvaccinated): Colditz et al. (1994), Journal of the
// American Medical Association 271, 698–702. The variances of the log risk ratio
// between trials, 0.3088 by DerSimonian and Laird and 0.3181 by Paule and Mandel,
// are those of Viechtbauer (2010), Journal of Statistical Software 36(3), and later
// literature. From memory.
var vaccine = [][4]float64{
	{4, 119, 11, 128}, {6, 300, 29, 274}, {3, 228, 11, 209}, {62, 13536, 248, 12619}, {33, 5036, 47, 5761},
	{180, 1361, 372, 1079}, {8, 2537, 10, 619}, {505, 87886, 499, 87892}, {29, 7470, 45, 7232},
	{17, 1699, 65, 1600}, {186, 50448, 141, 27197}, {5, 2493, 3, 2338}, {27, 16886, 29, 17825},
}

func TestPauleMandelOnPublishedTrials(t *testing.T) {
	var groups []Group
	for _, v := range vaccine {
		n1, n2 := v[0]+v[1], v[2]+v[3]
		groups = append(groups, Group{Mean: math.Log(v[0] / n1 / (v[2] / n2)), Variance: 1/v[0] - 1/n1 + 1/v[2] - 1/n2})
	}
	if got := betweenGroups(groups); math.Abs(got-.3181) > 5e-5 {
		t.Errorf("variance between trials %.5f, published 0.3181", got)
	}
	// The moment estimate of DerSimonian and Laird, computed here from the same sum
	// of squares, checks the data and Q.
	_, q := spread(groups, 0)
	var w, ww float64
	for _, g := range groups {
		w, ww = w+1/g.Variance, ww+1/g.Variance/g.Variance
	}
	if got := (q - float64(len(groups)-1)) / (w - ww/w); math.Abs(got-.3088) > 5e-5 {
		t.Errorf("moment estimate %.5f, published 0.3088", got)
	}
	if math.Abs(q-152.2330) > 5e-4 {
		t.Errorf("Q %.4f, published 152.2330", q)
	}
}

func TestPoolProperties(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	for range 300 {
		groups := make([]Group, 4+rng.IntN(8))
		for i := range groups {
			groups[i] = Group{Mean: rng.NormFloat64(), Variance: 0.05 + rng.Float64()}
		}
		p, err := Means(groups)
		if err != nil {
			t.Fatal(err)
		}
		moved := make([]Group, len(groups))
		for i, g := range groups {
			moved[i] = Group{Mean: 3*g.Mean - 7, Variance: 9 * g.Variance}
		}
		q, err := Means(moved)
		if err != nil {
			t.Fatal(err)
		}
		for i, g := range p.Groups {
			low, high := math.Min(groups[i].Mean, p.Mean), math.Max(groups[i].Mean, p.Mean)
			if g.Mean < low-1e-12 || g.Mean > high+1e-12 {
				t.Fatalf("group %d at %v moved to %v, not towards %v", i, groups[i].Mean, g.Mean, p.Mean)
			}
			if math.Abs(q.Groups[i].Mean-(3*g.Mean-7)) > 1e-6 || math.Abs(q.Groups[i].SD-3*g.SD) > 1e-6 {
				t.Fatalf("group %d does not follow a change of scale", i)
			}
			for k := range groups {
				if groups[k].Variance > groups[i].Variance && p.Groups[k].Weight > g.Weight+1e-12 {
					t.Fatal("a group that is known less keeps more of its own")
				}
			}
		}
	}
}

func TestPoolErrors(t *testing.T) {
	ok := Group{Mean: 1, Variance: 1}
	var few *num.TooFewError
	if _, err := Means([]Group{ok, ok, ok}); !errors.As(err, &few) || few.Need != 4 {
		t.Errorf("three groups: %v", err)
	}
	var domain *num.DomainError
	if _, err := Means([]Group{ok, ok, ok, {Mean: 1}}); !errors.As(err, &domain) {
		t.Errorf("variance 0: %v", err)
	}
	var nonFinite *num.NonFiniteError
	if _, err := Means([]Group{ok, ok, ok, {Mean: math.NaN(), Variance: 1}}); !errors.As(err, &nonFinite) {
		t.Errorf("NaN: %v", err)
	}
}

// The intervals of the pooled means have about their nominal coverage, however much
// the groups differ.
func TestPooledRangesHold(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 5))
	const runs, k = 1500, 8
	z := distuv.UnitNormal.Quantile(0.975)
	for _, between := range []float64{0, 0.3, 1, 3} {
		held := 0
		for range runs {
			groups, truth := make([]Group, k), make([]float64, k)
			for i := range groups {
				truth[i] = between * rng.NormFloat64()
				v := 0.2 + 1.6*float64(i)/(k-1)
				groups[i] = Group{Mean: truth[i] + math.Sqrt(v)*rng.NormFloat64(), Variance: v}
			}
			p, err := Means(groups)
			if err != nil {
				t.Fatal(err)
			}
			for i, g := range p.Groups {
				if math.Abs(g.Mean-truth[i]) <= z*g.SD {
					held++
				}
			}
		}
		share := float64(held) / (runs * k)
		t.Logf("SD between groups %.1f: %.3f of the 95 %% ranges hold the truth", between, share)
		if share < 0.93 {
			t.Errorf("SD between groups %.1f: only %.3f of the 95 %% ranges hold the truth", between, share)
		}
	}
}
