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
	// parts). A step that matters is several times the scatter and significant
	// even at a tenth of the level; a slope rarely is.
	stepShare = 0.1
	// stepWorth is the p at the best single date above which a step is not
	// pursued: over all dates its p is several times as large, too large for its
	// share of the level.
	stepWorth = 0.02 * stepShare
	// stepDrawn is the least number of simulated sets of noise for one step.
	// stepDrawnEach sets are drawn per entry tested, since the level of each
	// shrinks with their number, but beyond stepDrawn no more than hold stepValues
	// openings.
	stepDrawn     = 20_000
	stepDrawnEach = 400
	stepValues    = 4_000_000
	// fewestAround is the least number of openings of a part whose residuals are
	// used as noise: with two, each residual takes half of the other's slip.
	fewestAround = 3
	// mostNoise is the number of residuals kept per maker.
	mostNoise = 2000
	// unseen is a gross error larger than those observed, in standard deviations:
	// one may occur that has not occurred yet.
	unseen = 1000
)

// noise is the scatter of the openings of all makers in one measure.
type noise struct {
	shared    panel.Moderated // moderation of the squared scales
	residuals []float64       // each divided by its standard deviation; the first is unseen
}

// newNoise returns nil where steps are not tested: for prices, since an error in
// the market curve would look like one, and for too few makers to estimate the
// noise.
func newNoise(all []*candidate, shared panel.Moderated) *noise {
	if len(all) == 0 || all[0].m.scale == toMarket || !(shared.PriorDF > 0) {
		return nil
	}
	return &noise{shared: shared, residuals: []float64{unseen}}
}

// add collects the residuals of one maker's line.
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

// of returns the noise for testing a maker: that of the others.
func (n *noise) of(k *candidate) panel.PooledNoise {
	return panel.PooledNoise{Prior: n.shared.Prior, PriorDF: n.shared.PriorDF, Floor: k.floor,
		Residuals: n.residuals, OwnFrom: k.ownFrom, OwnTo: k.ownTo}
}

// testSteps combines the p of a step at any date with that of the slope.
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

// joinStep sets P to the weighted minimum of both p values: the smaller one after
// each is divided by its share of the level.
func (k *candidate) joinStep(tests int, seed uint64) error {
	k.P = math.Min(1, k.SlopeP/(1-stepShare))
	n := k.df + k.Blocks + 1
	most := max(stepDrawn, min(stepDrawnEach*tests, stepValues/n))
	worth := math.Min(stepWorth, k.P*stepShare)
	// Skip the step if the slope is so significant that no step could be more so,
	// or that it is found whatever else is.
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
		// The test cuts residuals, which shrinks the step: estimate its size from
		// the uncut values.
		if h, err := shiftAt(blocks, r.From); err == nil && h.Shift != 0 {
			k.testStep = h.Shift
		}
	}
	return nil
}
