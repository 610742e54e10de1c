package hedonic

import (
	"math"
	"slices"

	"pleatstat/stats/linear"
	"pleatstat/stats/num"
	"pleatstat/stats/outlier"
	"pleatstat/stats/robust"
)

const (
	// startTries is the number of subsamples of the robust start, each of three
	// products. With 20 % of the products overpriced, all 25 hold one with a
	// probability of one in sixty million.
	startTries = 25
	// leastShare is the lower limit of the scale, relative to that about the robust
	// line on area and time. Without it, if many prices were alike, all others
	// would count as shifted.
	leastShare = 0.1
	// emSteps is the largest number of refits; they have converged when no weight
	// changes by emTolerance or more.
	emSteps     = 20
	emTolerance = 0.01
	// noPower is the prior standard deviation of the exponent of area if its
	// estimate is negative but not clearly so.
	noPower = 1e-4
	// freshStep is the refit after which the error distribution is fitted from
	// scratch; after the others it is only updated.
	freshStep = 1
	// mostLeverage is the upper limit of the leverage in a leave-one-out error.
	mostLeverage = 0.95
	// keptChance is the probability of being clean from which a product counts for
	// the scatter between its openings.
	keptChance = 0.5
)

// beginning is the robust line that fitMixture starts from.
type beginning struct {
	residuals []float64
	scale     float64
}

// begin fits the robust line on area and time to the products of index.
func (m *Market) begin(index []int) beginning {
	y := make([]float64, len(index))
	d := linear.Design{Columns: make([][]float64, 2)}
	for k, i := range index {
		y[k] = m.Y[i]
		d.Columns[0] = append(d.Columns[0], m.Area[i])
		d.Columns[1] = append(d.Columns[1], m.Time[i][0])
	}
	residuals, scale := robustResiduals(d, y, m.Seed)
	return beginning{residuals, math.Max(scale, leastScale)}
}

// robustResiduals returns the residuals and the scale of the robust line on as many
// of the first columns as can be fitted, or else those about the median.
func robustResiduals(d linear.Design, y []float64, seed uint64) ([]float64, float64) {
	for k := len(d.Columns); k > 0; k-- {
		f, err := robust.RobustLine(linear.Design{Columns: d.Columns[:k]}, y, robust.RobustOptions{Seed: seed, Starts: startTries})
		if err == nil {
			return f.Residuals, f.Scale
		}
	}
	middle := num.Median(y)
	out := make([]float64, len(y))
	for i, v := range y {
		out[i] = v - middle
	}
	return out, num.MAD(y)
}

// Fit is a regression fitted to a set of products.
type Fit struct {
	spread
	noise     *outlier.Model // of the errors
	errors    []float64      // by product of the fit: leave-one-out error over its SD in units of the scale
	least     float64        // lower limit of the scale
	middle    float64        // mean log price
	weight    []float64      // in the regression, by product of the market; 0 for those not in the set
	chance    []float64      // probability of being clean, by product of the market
	posterior *posterior     // of log prices less middle
}

// Coef returns the coefficients of 1, area, time basis and contents, for log prices
// less their mean. The caller must not modify them.
func (f *Fit) Coef() []float64 { return f.posterior.coef }

// AreaLowers reports whether a larger media area clearly goes with a lower price.
func (f *Fit) AreaLowers() bool { return f.posterior.coef[1] < -shownClearly*noPower }

// fitMixture fits the products of index such that overpriced ones among them do not
// determine the usual price. Like the EM algorithm, it alternates between the
// regression, with every product weighted by its probability of being clean, and the
// mixture model of the leave-one-out errors, which gives those probabilities and the
// scale. It starts from before, a fit to the same products, or from the robust line
// if before is nil.
func (m *Market) fitMixture(index []int, from beginning, before *Fit) (*Fit, error) {
	s := &Fit{least: math.Max(leastScale, leastShare*from.scale),
		weight: make([]float64, len(m.Y)), chance: make([]float64, len(m.Y))}
	for _, i := range index {
		s.middle += m.Y[i] / float64(len(index))
	}
	along := make([]float64, len(index))
	for k, i := range index {
		along[k] = m.Area[i]
	}
	if before != nil {
		s.noise, s.errors = before.noise, slices.Clone(before.errors)
	} else {
		s.errors = slices.Clone(from.residuals)
		s.noise = outlier.FitNormalErrors(s.errors, along, from.scale, s.least)
	}
	s.scale = s.noise.Spread
	row := make([]float64, m.terms())
	for step := range emSteps {
		moved := 0.0
		for k, i := range index {
			was := s.weight[i]
			s.chance[i], s.weight[i] = s.noise.Honest(s.errors[k], m.Area[i])
			moved = math.Max(moved, math.Abs(s.weight[i]-was))
		}
		if s.posterior != nil && moved < emTolerance {
			break
		}
		if err := m.regress(index, s); err != nil {
			return nil, err
		}
		for k, i := range index {
			m.rowTo(i, row)
			fit, variance := s.posterior.at(row)
			own := m.variance(i, s.spread)
			left := 1 - math.Min(s.weight[i]/own*variance, mostLeverage)
			s.errors[k] = (m.Y[i] - s.middle - fit) / left / math.Sqrt(own+variance/left)
		}
		if step == freshStep {
			s.noise = outlier.FitErrors(s.errors, along, s.scale, s.least)
		} else {
			s.noise = s.noise.Refit(s.errors, s.least)
		}
		s.scale = s.noise.Spread
	}
	return s, nil
}

// regress sets share, posterior and blanks from the products of index.
func (m *Market) regress(index []int, s *Fit) error {
	var kept []int
	for _, i := range index {
		if s.chance[i] >= keptChance {
			kept = append(kept, i)
		}
	}
	s.share = m.withinShare(kept, s.scale)
	c := m.priors(s.scale)
	row := make([]float64, m.terms())
	rows := 0.0
	for _, i := range index {
		m.add(c, i, s, s.weight[i], row)
		rows += s.chance[i] * m.Openings[i]
	}
	var err error
	if s.posterior, err = newPosterior(c, 2+m.timeTerms(), rows, s.scale, m.Content, m.More); err != nil {
		return err
	}
	if se := s.scale * math.Sqrt(s.posterior.cov[c.n+1]); s.posterior.coef[1] < 0 && s.posterior.coef[1] > -shownClearly*se {
		c.a[c.n+1] += s.scale * s.scale / (noPower * noPower) // hold the exponent of area near 0
		if s.posterior, err = newPosterior(c, 2+m.timeTerms(), rows, s.scale, m.Content, m.More); err != nil {
			return err
		}
	}
	s.blanks = m.blankVariance(s.posterior.coef[2+m.timeTerms():])
	return nil
}

// fitMixtureAll fits the products of index; if there are many, the mixture model is
// fitted to a sample of them.
func (m *Market) fitMixtureAll(index []int, from beginning, before *Fit) (*Fit, error) {
	sample := thin(index)
	s, err := m.fitMixture(sample, from, before)
	if err != nil || len(sample) == len(index) {
		return s, err
	}
	seen := make([]bool, len(m.Y))
	for _, i := range sample {
		seen[i] = true
	}
	row := make([]float64, m.terms())
	for _, i := range index {
		if !seen[i] {
			m.weigh(i, s, row)
		}
	}
	return s, m.regress(index, s)
}

// weigh sets the chance and weight of a product that was not in the fit.
func (m *Market) weigh(i int, s *Fit, row []float64) {
	m.rowTo(i, row)
	fit, variance := s.posterior.at(row)
	s.chance[i], s.weight[i] = s.noise.Honest((m.Y[i]-s.middle-fit)/math.Sqrt(m.variance(i, s.spread)+variance), m.Area[i])
}
