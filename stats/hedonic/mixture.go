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
	// startTries is the number of subsamples of the robust start. Three
	// products make one; with 20 % of them overpriced 25 tries all fail once in
	// sixty million.
	startTries = 25
	// leastShare of the scale about the robust line on area and time is the
	// least that may be left: where many prices are alike the rest must not all
	// come to be shifted.
	leastShare = 0.1
	// emSteps bounds the refits, and emTolerance is the weight that no product's
	// may then still move by.
	emSteps     = 20
	emTolerance = 0.01
	// noPower is the prior spread of the exponent of area where the log does not
	// clearly show that more media costs less.
	noPower = 1e-4
	// freshStep is the refit that looks anew for what errors scatter like; others
	// follow.
	freshStep = 1
	// mostLeverage of a product whose left-out error is computed.
	mostLeverage = 0.95
	// keptChance: a product takes part in what its openings say of one another if
	// it is more likely clean than not.
	keptChance = 0.5
)

// beginning is the robust line that fitMixture begins from.
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

// robustResiduals are those of the robust line on as many of the columns as
// have variation.
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

// Fit is what a set of products says about how to judge prices.
type Fit struct {
	spread
	noise     *outlier.Model // of errors from fits without the product, over the root of their variance
	errors    []float64      // these, by product of the fit
	least     float64        // of the scale
	middle    float64        // of log prices
	weight    []float64      // in the regression, by product of the market; 0 also for those not in the set
	chance    []float64      // of being clean
	posterior *posterior     // of log prices less the middle
}

// Coef returns the coefficients of one, area, time basis and contents, log prices
// taken less their mean; they are not the caller's own.
func (f *Fit) Coef() []float64 { return f.posterior.coef }

// AreaLowers reports whether more media area clearly goes with a lower price.
func (f *Fit) AreaLowers() bool { return f.posterior.coef[1] < -shownClearly*noPower }

// fitMixture fits the products of index, so that overpriced ones among them do not
// decide what is usual: in turn the regression with every
// product weighted by its chance of being clean, and those chances and the scale
// from the mixture that describes the errors, each from a fit without the product
// itself (expectation and maximisation). It begins from another market's fit to
// the same products where there is one, otherwise from the robust line.
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
		s.noise = outlier.BeginErrors(s.errors, along, from.scale, s.least)
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

// regress sets share, fit and what blanks leave open from the products of index.
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
		c.a[c.n+1] += s.scale * s.scale / (noPower * noPower) // more media does not lower the price
		if s.posterior, err = newPosterior(c, 2+m.timeTerms(), rows, s.scale, m.Content, m.More); err != nil {
			return err
		}
	}
	s.blanks = m.blankVariance(s.posterior.coef[2+m.timeTerms():])
	return nil
}

// fitMixtureAll fits the products of index; who is clean and the noise come from a
// sample where there are many.
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

// weigh sets chance and weight of a product that took no part in the fit.
func (m *Market) weigh(i int, s *Fit, row []float64) {
	m.rowTo(i, row)
	fit, variance := s.posterior.at(row)
	s.chance[i], s.weight[i] = s.noise.Honest((m.Y[i]-s.middle-fit)/math.Sqrt(m.variance(i, s.spread)+variance), m.Area[i])
}
