package drift

import (
	"errors"
	"math"
	"runtime"

	"golang.org/x/sync/errgroup"

	"pleatstat/stats/num"
	"pleatstat/stats/panel"
)

const (
	// stepShare of the level of a maker's entry is spent on a step, the rest on
	// the slope (Genovese, Roeder and Wasserman 2006, as between makers and
	// parts). A step worth telling is several times the scatter and far beyond
	// a tenth of the level; a slope is rarely so plain.
	stepShare = 0.1
	// stepWorth is the p of the best date taken alone from which on a step is
	// not followed up: over all dates it is several times as likely, too much
	// for its share of the level.
	stepWorth = 0.02 * stepShare
	// stepDrawn sets of noise at least are drawn for one step, stepDrawnEach for
	// every entry tested, as the level of each shrinks with their number, and
	// never more than hold stepValues openings.
	stepDrawn     = 20_000
	stepDrawnEach = 400
	stepValues    = 4_000_000
	// fewestAround is the least number of openings of a part whose residuals
	// tell of the noise: of two, each takes half of the other's slip.
	fewestAround = 3
	// mostNoise is the number of residuals of one maker that are kept.
	mostNoise = 2000
	// unseen is a gross error beyond those seen, in standard deviations: what
	// has not happened yet may happen next.
	unseen = 1000
)

// noise is how the openings of all makers scatter in one measure.
type noise struct {
	shared    panel.Moderated // of the squared scales
	residuals []float64       // each over its standard deviation; the first is unseen
}

// newNoise is nil where no step is tested for: prices, as what is not known of
// the market would pass for one, and makers too few to learn from.
func newNoise(all []*candidate, shared panel.Moderated) *noise {
	if len(all) == 0 || all[0].m.scale == toMarket || !(shared.PriorDF > 0) {
		return nil
	}
	return &noise{shared: shared, residuals: []float64{unseen}}
}

// add gathers the residuals of one maker's line.
func (n *noise) add(k *candidate, line *panel.FixedEffectsFit, scale float64) {
	k.noise, k.ownFrom = n, len(n.residuals)
	every := (line.N + mostNoise - 1) / mostNoise
	for i, b := range k.series {
		if line.Residuals[i] == nil || len(b.T) < fewestAround {
			continue
		}
		mean := num.Mean(b.T)
		for j := 0; j < len(b.T); j += every {
			leverage := 1/float64(len(b.T)) + (b.T[j]-mean)*(b.T[j]-mean)/line.Information
			n.residuals = append(n.residuals, line.Residuals[i][j]/(scale*math.Sqrt(math.Max(0.1, 1-leverage))))
		}
	}
	k.ownTo = len(n.residuals)
}

// of is the noise by which a maker is judged: that of the others.
func (n *noise) of(k *candidate) panel.PooledNoise {
	return panel.PooledNoise{Prior: n.shared.Prior, PriorDF: n.shared.PriorDF, Floor: k.floor,
		Residuals: n.residuals, OwnFrom: k.ownFrom, OwnTo: k.ownTo}
}

// testSteps joins the p of a step at any date to that of the slope.
func testSteps(all []*candidate, seed uint64) error {
	tests := 0
	for _, k := range all {
		if k.SlopeP = k.P; !math.IsNaN(k.P) {
			tests++
		}
	}
	var tasks errgroup.Group
	tasks.SetLimit(runtime.GOMAXPROCS(0))
	for i, k := range all {
		if k.noise != nil && !math.IsNaN(k.P) {
			tasks.Go(func() error { return k.joinStep(tests, seed+uint64(i)) })
		}
	}
	return tasks.Wait()
}

// joinStep sets P to the weighted minimum of both: the smaller of each over its
// share of the level.
func (k *candidate) joinStep(tests int, seed uint64) error {
	k.P = math.Min(1, k.SlopeP/(1-stepShare))
	n := k.df + k.Blocks + 1
	most := max(stepDrawn, min(stepDrawnEach*tests, stepValues/n))
	worth := math.Min(stepWorth, k.P*stepShare)
	// A slope so plain that no step could be drawn plainer, or that is found
	// whatever else is: the step is not looked for.
	if k.df <= gateDF && worth*float64(most+1) < 1 || k.df > gateDF && k.P*float64(tests) <= falseRate*makerShare {
		return nil
	}
	blocks := k.thinned()
	r, err := k.noise.of(k).Step(blocks, panel.NoiseOptions{Worth: worth, Most: most, Seed: seed})
	var few *num.TooFewError
	if errors.As(err, &few) {
		return nil
	}
	if err != nil {
		return err
	}
	if p := r.P / stepShare; p < k.P {
		k.P, k.byStep, k.testStep, k.testFrom = p, true, r.Step, r.From
		// Cutting makes a step small: its size is that of the plain values.
		if h, err := shiftAt(blocks, r.From); err == nil {
			k.testStep = h.Shift
		}
	}
	return nil
}

// stepSlope is the least squares slope of a step of 1 at a date, with one level a
// part; it is positive wherever the date has openings of one part on both sides.
func stepSlope(blocks []num.Series, from float64) float64 {
	var xx, xy float64
	for _, b := range blocks {
		mean := num.Mean(b.T)
		for _, t := range b.T {
			xx += (t - mean) * (t - mean)
			if t >= from {
				xy += t - mean
			}
		}
	}
	return xy / xx
}
