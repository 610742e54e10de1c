package panel

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
)

// sizesOf returns the sizes of n differences between two deviates, over their
// median.
func sizesOf(n int, deviate func() float64) []float64 {
	sizes := make([]float64, n)
	for i := range sizes {
		sizes[i] = math.Abs(deviate() - deviate())
	}
	middle := num.Median(sizes)
	for i := range sizes {
		sizes[i] /= middle
	}
	return sizes
}

func TestTailsAreToldFromManySizesAndSupposedOfFew(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 7))
	long := distuv.StudentsT{Sigma: 1, Nu: 5, Src: rng}
	if df := TailDF(sizesOf(20_000, rng.NormFloat64)); !math.IsInf(df, 1) {
		t.Errorf("normal differences have %g degrees of freedom, not infinitely many", df)
	}
	// Differences of two t(5) have half the excess kurtosis of one: near t(7).
	if df := TailDF(sizesOf(20_000, long.Rand)); df < 5 || df > 9 {
		t.Errorf("differences of t(5) deviates have %g degrees of freedom, not 5 to 9", df)
	}
	if df := TailDF(nil); df != supposedTail {
		t.Errorf("without sizes %g degrees of freedom are supposed, not %g", df, supposedTail)
	}
	normal := 0
	for range 200 {
		if df := TailDF(sizesOf(40, long.Rand)); df < 5 || df > nearNormal && !math.IsInf(df, 1) {
			t.Fatalf("40 sizes make tails of %g degrees of freedom", df)
		} else if math.IsInf(df, 1) {
			normal++
		}
	}
	if normal > 20 {
		t.Errorf("of 200 small samples with long tails %d count as normal", normal)
	}
}

// The excess kurtosis of Student's t is 6/(df − 4) (Johnson, Kotz and Balakrishnan
// 1995, Continuous Univariate Distributions 2, chapter 28; from memory); that of a
// mean of n values is 1/n of it.
func TestMeansHaveShorterTails(t *testing.T) {
	if got := MeansTailDF(7, 1, 1); got != 7 {
		t.Errorf("two single values: %g, not 7", got)
	}
	if got := MeansTailDF(7, 3, 3); math.Abs(got-13) > 1e-12 {
		t.Errorf("means of three: %g; excess 6/3 over 3 is that of 13", got)
	}
	if got := MeansTailDF(3, 5, 5); got != 3 {
		t.Errorf("infinite kurtosis: %g, not 3", got)
	}
	if got := MeansTailDF(math.Inf(1), 2, 3); !math.IsInf(got, 1) {
		t.Errorf("normal values: %g", got)
	}
	// Simulated far quantiles for means of three are close to those of the t assumed.
	rng := rand.New(rand.NewPCG(5, 11))
	single := distuv.StudentsT{Sigma: 1, Nu: 10, Src: rng}
	const runs, of = 200_000, 3
	sizes := make([]float64, runs)
	for i := range sizes {
		for range of {
			sizes[i] += single.Rand() - single.Rand()
		}
		sizes[i] = math.Abs(sizes[i])
	}
	slices.Sort(sizes)
	// A t(10) has excess kurtosis 1, the difference of two 1/2, as t(16).
	supposed := distuv.StudentsT{Sigma: 1, Nu: MeansTailDF(16, of, of)}
	scale := math.Sqrt(2 * of * 10.0 / 8 * (supposed.Nu - 2) / supposed.Nu)
	for _, p := range []float64{0.99, 0.998} {
		got, want := sizes[int(p*runs)], scale*supposed.Quantile((1+p)/2)
		if math.Abs(got/want-1) > 0.03 {
			t.Errorf("the %g point of the differences is %.3f, supposed %.3f", p, got, want)
		}
	}
}
