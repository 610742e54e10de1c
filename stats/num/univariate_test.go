package num

import (
	"math"
	"slices"
	"testing"

	"pleatstat/stats/internal/testhelp"
)

// NIST's univariate data sets. Rounding the data of NumAcc3 and NumAcc4 to
// float64 limits the standard deviation to 9.46 and 8.25 correct digits, measured
// in rational arithmetic; Michelson's speeds, given to three decimals, are limited
// likewise.
func TestUnivariateCertified(t *testing.T) {
	for _, c := range []struct {
		name     string
		mean, sd float64 // correct digits required
	}{
		{"numacc1", 15, 15},
		{"numacc2", 15, 14.5},
		{"numacc3", 15, 9.4},
		{"numacc4", 15, 8.2},
		{"michelso", 15, 13.8},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := testhelp.Published(t, "strd_"+c.name)
			x := r.Column(t, "x")
			for _, v := range []struct {
				what       string
				got, asked float64
			}{{"mean", Mean(x), c.mean}, {"sd", SD(x), c.sd}} {
				reached := testhelp.Digits(v.got, r.Number(t, "published", v.what))
				t.Logf("%s: %.2f digits", v.what, reached)
				if reached < v.asked {
					t.Errorf("%s: %.17g has %.2f digits, asked %.1f", v.what, v.got, reached, v.asked)
				}
			}
		})
	}
}

func TestOrderStatistics(t *testing.T) {
	x := []float64{9, 1, 7, 3, 5, 8}
	before := slices.Clone(x)
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"median", Median(x), 6},
		{"median of odd", Median(x[:5]), 5},
		{"median of one", Median(x[:1]), 9},
		// Hyndman and Fan's definition 7 at 0.25: position 1.25 of 1 3 5 7 8 9.
		{"lower quartile", Quantile(x, 0.25), 3.5},
		{"least", Quantile(x, 0), 1},
		{"greatest", Quantile(x, 1), 9},
		// Deviations from 6: 3 5 1 3 1 2, in order 1 1 2 3 3 5.
		{"MAD", MAD(x), 2.5 * MadScale},
		{"mean of huge values", Mean([]float64{math.MaxFloat64, math.MaxFloat64}), math.MaxFloat64},
		{"SD of huge values", SD([]float64{1e300, 3e300}), math.Sqrt2 * 1e300},
		{"SD of tiny values", SD([]float64{1e-300, 3e-300}), math.Sqrt2 * 1e-300},
		{"median of huge values", Median([]float64{math.MaxFloat64, math.MaxFloat64}), math.MaxFloat64},
	} {
		testhelp.Near(t, c.what, c.got, c.want, 4e-16)
	}
	if !slices.Equal(x, before) {
		t.Errorf("input changed to %v", x)
	}
}

func TestUnivariateWithoutAnswer(t *testing.T) {
	for what, got := range map[string]float64{
		"mean of none":      Mean(nil),
		"SD of one":         SD([]float64{1}),
		"median of none":    Median(nil),
		"MAD of none":       MAD(nil),
		"quantile of none":  Quantile(nil, 0.5),
		"quantile at 1.5":   Quantile([]float64{1, 2}, 1.5),
		"quantile at NaN":   Quantile([]float64{1, 2}, math.NaN()),
		"mean with NaN":     Mean([]float64{1, math.NaN()}),
		"SD with Inf":       SD([]float64{1, math.Inf(1)}),
		"median with NaN":   Median([]float64{1, math.NaN(), 3}),
		"MAD with Inf":      MAD([]float64{1, math.Inf(-1), 3}),
		"quantile with Inf": Quantile([]float64{1, math.Inf(1)}, 0),
	} {
		if !math.IsNaN(got) {
			t.Errorf("%s: %v, want NaN", what, got)
		}
	}
}

func FuzzSample(f *testing.F) {
	testhelp.FuzzSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte, q uint8) {
		x := testhelp.FloatsOf(data)
		for what, v := range map[string]float64{"mean": Mean(x), "median": Median(x), "quantile": Quantile(x, float64(q)/255)} {
			if math.IsInf(v, 0) || (len(x) > 0 && AllFinite(x) && math.IsNaN(v)) {
				t.Errorf("%s of %v: %v", what, x, v)
			}
		}
		SD(x)
		MAD(x)
	})
}
