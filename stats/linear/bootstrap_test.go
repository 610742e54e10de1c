package linear

import (
	"errors"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"gonum.org/v1/gonum/stat"

	"pleatstat/stats/internal/testhelp"
	"pleatstat/stats/num"
)

func meanOf(x []float64) func([]int) float64 {
	return func(rows []int) float64 {
		var sum float64
		for _, i := range rows {
			sum += x[i]
		}
		return sum / float64(len(rows))
	}
}

func correlationOf(x, y []float64) func([]int) float64 {
	return func(rows []int) float64 {
		a, b := make([]float64, len(rows)), make([]float64, len(rows))
		for k, i := range rows {
			a[k], b[k] = x[i], y[i]
		}
		return stat.Correlation(a, b, nil)
	}
}

// The law school correlation (Efron and Tibshirani 1993) and the
// air-conditioning failure times (Davison and Hinkley 1997), against the limits
// of the ideal bootstrap, which enumerates every distinct resample with its
// weight. The difference is the sampling error of the replicates.
func TestBCaAgainstEnumeration(t *testing.T) {
	const replicates = 200_000
	law := testhelp.Published(t, "bca_law_exact")
	air := testhelp.Published(t, "bca_aircondit_exact")
	for _, c := range []struct {
		r         testhelp.Reference
		n         int
		statistic func([]int) float64
		tolerance float64 // of a limit: about four standard errors
	}{
		{law, 15, correlationOf(law.Column(t, "LSAT"), law.Column(t, "GPA")), 0.012},
		{air, 12, meanOf(air.Column(t, "hours")), 1.5},
	} {
		testhelp.Near(t, c.r.Id+" acceleration", accelerationOf(leaveOut(c.n, c.statistic)), c.r.Number(t, "computed", "acceleration"), 1e-9)
		for _, level := range []struct {
			confidence float64
			low, high  string
		}{{0.80, "0.100", "0.900"}, {0.90, "0.050", "0.950"}, {0.95, "0.025", "0.975"}} {
			low, high, err := BCa(c.n, c.statistic, BootOptions{Replicates: replicates, Confidence: level.confidence, Seed: 20})
			if err != nil {
				t.Fatal(err)
			}
			for _, limit := range []struct {
				key string
				got float64
			}{{level.low, low}, {level.high, high}} {
				want := c.r.Number(t, "computed", "quantiles", limit.key, "bca")
				if math.Abs(limit.got-want) > c.tolerance {
					t.Errorf("%s at %s: %.5g, exact %.5g", c.r.Id, limit.key, limit.got, want)
				}
			}
		}
	}
}

func TestBCaSameOnAnyCores(t *testing.T) {
	air := testhelp.Published(t, "bca_aircondit_exact").Column(t, "hours")
	run := func(cores int, seed uint64) [2]float64 {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		low, high, err := BCa(len(air), meanOf(air), BootOptions{Seed: seed})
		if err != nil {
			t.Fatal(err)
		}
		return [2]float64{low, high}
	}
	one := run(1, 3)
	for _, cores := range []int{2, 5} {
		if got := run(cores, 3); got != one {
			t.Errorf("%d cores: %v, one core: %v", cores, got, one)
		}
	}
	if run(1, 4) == one {
		t.Error("another seed gives the same range")
	}
}

func TestBCaEdges(t *testing.T) {
	var few *num.TooFewError
	var domain *num.DomainError
	constant := func([]int) float64 { return 7 }
	if low, high, err := BCa(10, constant, BootOptions{}); err != nil || low != 7 || high != 7 {
		t.Errorf("constant: %v to %v, %v", low, high, err)
	}
	if _, _, err := BCa(4, constant, BootOptions{}); !errors.As(err, &few) || few.Need != 5 {
		t.Errorf("four rows: %v", err)
	}
	if _, _, err := BCa(10, constant, BootOptions{Replicates: 10}); !errors.As(err, &domain) {
		t.Errorf("ten replicates: %v", err)
	}
	if _, _, err := BCa(10, constant, BootOptions{Confidence: 1}); !errors.As(err, &domain) {
		t.Errorf("confidence 1: %v", err)
	}
	if _, _, err := BCa(10, func([]int) float64 { return math.NaN() }, BootOptions{}); !errors.Is(err, num.ErrOverflow) {
		t.Errorf("no value: %v", err)
	}
	hollow := func(rows []int) float64 { // no value on any resample
		if len(rows) == 10 && rows[0] == 0 && rows[9] == 9 && rows[1] == 1 {
			return 1
		}
		return math.NaN()
	}
	if _, _, err := BCa(10, hollow, BootOptions{}); !errors.As(err, &few) {
		t.Errorf("replicates without a value: %v", err)
	}
	// With more rows than leave-out groups, the acceleration is still that of the
	// mean of a skewed sample, skewness/(6√n).
	x := make([]float64, 4000)
	for i, k := range rand.New(rand.NewPCG(1, 1)).Perm(len(x)) {
		x[i] = -math.Log((float64(k) + 0.5) / 4000) // exponential, skewness 2
	}
	testhelp.Near(t, "acceleration in groups", accelerationOf(leaveOut(len(x), meanOf(x))), 2/(6*math.Sqrt(4000)), 0.35)
}
