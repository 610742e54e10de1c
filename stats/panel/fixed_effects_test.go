package panel

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pleatstat/stats/internal/testhelp"
	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

// withinDesign returns the same model with one indicator column per block.
func withinDesign(blocks []num.Series) (linear.Design, []float64) {
	var t, y []float64
	d := linear.Design{NoIntercept: true, Names: []string{"t"}}
	for i := range blocks {
		d.Names = append(d.Names, fmt.Sprint("block ", i))
	}
	d.Columns = make([][]float64, len(blocks)+1)
	for i, b := range blocks {
		for k := range b.T {
			t, y = append(t, b.T[k]), append(y, b.Y[k])
			for j := range blocks {
				v := 0.0
				if j == i {
					v = 1
				}
				d.Columns[j+1] = append(d.Columns[j+1], v)
			}
		}
	}
	d.Columns[0] = t
	return d, y
}

// Deviations from the means of blocks give the same fit as indicator columns.
func TestFixedEffectsAgainstIndicatorColumns(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 1))
	for range 50 {
		blocks := steps(rng, 1+rng.IntN(6), 3+rng.IntN(8), 9, 0, 0, 0.01)
		f, err := FixedEffects(blocks)
		if err != nil {
			t.Fatal(err)
		}
		d, y := withinDesign(blocks)
		full, err := linear.LeastSquares(d, y)
		if err != nil {
			t.Fatal(err)
		}
		testhelp.Near(t, "slope", f.Slope, full.Coef[0], 1e-9)
		testhelp.Near(t, "standard error", f.SE, full.SE[0], 1e-9)
		testhelp.Near(t, "degrees of freedom", float64(f.DF), float64(full.DF), 0)
		for i := range blocks {
			testhelp.Near(t, "level", f.Levels[i], full.Coef[i+1], 1e-9)
		}
	}
}

// On clean values the robust line is close to least squares and its standard error
// is right; it withstands gross errors in a fifth of the values.
func TestRobustFixedEffects(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 1))
	var squares, variance, plain, scale float64
	const runs = 1500
	for range runs {
		blocks := steps(rng, 6, 5, 9, 0, 0, 0.006)
		r, err := RobustFixedEffects(blocks, FixedEffectsOptions{})
		if err != nil {
			t.Fatal(err)
		}
		l, _ := FixedEffects(blocks)
		squares += r.Slope * r.Slope * r.Information / runs
		variance += r.Variance / runs
		plain += l.Slope * l.Slope * l.Information / runs
		scale += r.Scale / runs
	}
	if math.Abs(variance/squares-1) > 0.1 {
		t.Errorf("variance of the slope: estimated %.3g, real %.3g", variance, squares)
	}
	if plain/squares < 0.93 {
		t.Errorf("efficiency against least squares %.3f", plain/squares)
	}
	if want := math.Hypot(0.006, 0.01/math.Sqrt(12)); math.Abs(scale/want-1) > 0.1 {
		t.Errorf("scale %.4g, want about %.4g", scale, want)
	}
	for range 50 {
		blocks := steps(rng, 5, 10, 0, 0, -0.01, 0.004)
		for i := range blocks {
			for range 2 {
				blocks[i].Y[rng.IntN(10)] = 4 * rng.Float64()
			}
		}
		r, err := RobustFixedEffects(blocks, FixedEffectsOptions{})
		if err != nil || math.Abs(r.Slope+0.01) > 0.003 {
			t.Fatalf("slope %v with a fifth of slips, want -0.01 (%v)", r.Slope, err)
		}
	}
}

// Slope and scale follow the units, the order of values and blocks does not matter,
// and inputs are not modified.
func TestRobustFixedEffectsInvariance(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 1))
	blocks := steps(rng, 4, 6, 0, 0, -0.01, 0.006)
	before := slices.Clone(blocks[1].Y)
	want, err := RobustFixedEffects(blocks, FixedEffectsOptions{Floor: 0.003})
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(before, blocks[1].Y) {
		t.Fatal("input modified")
	}
	moved := make([]num.Series, len(blocks))
	for i, b := range blocks {
		at := (i + 1) % len(blocks)
		for _, k := range rng.Perm(len(b.T)) {
			moved[at].T = append(moved[at].T, 2*b.T[k]+7)
			moved[at].Y = append(moved[at].Y, 10*b.Y[k]-3)
		}
	}
	got, err := RobustFixedEffects(moved, FixedEffectsOptions{Floor: 0.03})
	if err != nil {
		t.Fatal(err)
	}
	testhelp.Near(t, "slope", got.Slope, 5*want.Slope, 1e-6)
	testhelp.Near(t, "scale", got.Scale, 10*want.Scale, 1e-6)
	testhelp.Near(t, "standard error", got.SE, 5*want.SE, 1e-6)
}

func TestFixedEffectsRefuses(t *testing.T) {
	for name, blocks := range map[string][]num.Series{
		"no block":            nil,
		"one time":            {{T: []float64{1, 1, 1}, Y: []float64{1, 2, 3}}},
		"no freedom left":     {{T: []float64{1, 2}, Y: []float64{1, 2}}, {T: []float64{1}, Y: []float64{3}}},
		"NaN":                 {{T: []float64{1, 2, 3}, Y: []float64{1, math.NaN(), 3}}},
		"lengths that differ": {{T: []float64{1, 2, 3}, Y: []float64{1, 2}}},
	} {
		if _, err := FixedEffects(blocks); err == nil {
			t.Errorf("least squares accepted %s", name)
		}
		if _, err := RobustFixedEffects(blocks, FixedEffectsOptions{}); err == nil {
			t.Errorf("the robust line accepted %s", name)
		}
	}
	flat := []num.Series{{T: []float64{1, 2, 3}, Y: []float64{5, 5, 5}}}
	f, err := RobustFixedEffects(flat, FixedEffectsOptions{})
	if err != nil || f.Slope != 0 || f.SE != 0 || f.P() != 1 {
		t.Errorf("constant values: %+v, %v", f, err)
	}
	if f, err = RobustFixedEffects(flat, FixedEffectsOptions{Floor: 0.1}); err != nil || f.Scale != 0.1 {
		t.Errorf("constant values with a floor: %+v, %v", f, err)
	}
}

// Smyth (2004), section 6.2: from variances drawn about a prior the prior is
// recovered, and moderated variances are closer to the truth than the original ones.
func TestModerateVariances(t *testing.T) {
	rng := rand.New(rand.NewPCG(14, 1))
	chi := func(df int) float64 {
		s := 0.0
		for range df {
			z := rng.NormFloat64()
			s += z * z
		}
		return s
	}
	const n, prior, priorDF, df = 3000, 4.0, 8, 5
	truth, v, d := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range v {
		truth[i] = prior * priorDF / chi(priorDF)
		v[i], d[i] = truth[i]*chi(df)/df, df
	}
	m, err := ModerateVariances(v, d)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(m.Prior/prior-1) > 0.1 || math.Abs(m.PriorDF/priorDF-1) > 0.25 {
		t.Errorf("prior %v with %v degrees of freedom, want %v with %v", m.Prior, m.PriorDF, prior, priorDF)
	}
	var own, moved float64
	for i := range v {
		own += math.Abs(math.Log(v[i] / truth[i]))
		moved += math.Abs(math.Log(m.Variance[i] / truth[i]))
	}
	if moved > 0.8*own {
		t.Errorf("mean log error %v after moderation, %v before", moved/n, own/n)
	}
	same, _ := ModerateVariances([]float64{1, 1, 1, 1}, []float64{20, 20, 20, 20})
	if !math.IsInf(same.PriorDF, 1) || math.Abs(same.DF[0]-80) > 1e-9 {
		t.Errorf("equal variances: %+v", same)
	}
	few, _ := ModerateVariances([]float64{1, math.NaN(), 2}, []float64{3, 3, 0})
	if few.Variance[0] != 1 || few.Variance[2] != 2 || few.DF[0] != 3 || !math.IsNaN(few.Variance[1]) {
		t.Errorf("one usable variance: %+v", few)
	}
	if _, err := ModerateVariances([]float64{1}, nil); err == nil {
		t.Error("lengths that differ were accepted")
	}
	// trigamma(1) = π²/6, and the inverse undoes it.
	testhelp.Near(t, "trigamma", trigamma(1), math.Pi*math.Pi/6, 1e-14)
	for _, x := range []float64{0.01, 0.4, 3, 200} {
		testhelp.Near(t, "inverse trigamma", inverseTrigamma(trigamma(x)), x, 1e-8)
	}
}

// Pseudo-values are close to values that are not far off, do not depend on the
// times, and remove an entry error.
func TestPseudoValues(t *testing.T) {
	blocks := []num.Series{{T: []float64{1, 2, 3, 4, 5}, Y: []float64{0.40, 0.41, 0.40, 0.39, 0.80}}, {T: []float64{1}, Y: []float64{2}}}
	s, err := PseudoValues(blocks, 0.01)
	if err != nil {
		t.Fatal(err)
	}
	if s[1].T != nil || math.Abs(s[0].Y[4]-0.40) > 0.003 {
		t.Errorf("scores %v: the slip is left", s)
	}
	other := []num.Series{{T: []float64{9, 3, 8, 1, 2}, Y: blocks[0].Y}}
	o, _ := PseudoValues(other, 0.01)
	if !slices.Equal(o[0].Y, s[0].Y) {
		t.Errorf("scores depend on the times: %v and %v", o[0].Y, s[0].Y)
	}
	if _, err := PseudoValues([]num.Series{{T: []float64{1, 2}, Y: []float64{1, math.Inf(1)}}}, 1); err == nil {
		t.Error("an infinite value was accepted")
	}
}

// steps returns blocks whose level changes by step at a date, and by slope per
// unit of time from then on.
func steps(rng *rand.Rand, blocks, n int, date, step, slope, noise float64) []num.Series {
	out := make([]num.Series, blocks)
	for i := range out {
		for range n {
			at := 6 * rng.Float64()
			y := 0.4 + 0.02*float64(i) + noise*rng.NormFloat64()
			if at >= date {
				y += step + slope*(at-date)
			}
			out[i].T, out[i].Y = append(out[i].T, at), append(out[i].Y, math.Round(100*y)/100)
		}
	}
	return out
}
