package price

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats"
)

const (
	// startCut is the number of robust scales beyond which a product is set
	// aside at first: the square root of the 97.5 % point of chi-square with
	// one degree of freedom, the usual cut.
	startCut = 3
	// innerLevel is the false discovery rate at which products are set aside.
	innerLevel = 0.10
	// trimShare of the products, those that fit best, decide the start;
	// trimSteps are enough for them to settle.
	trimShare = 0.75
	trimSteps = 2
	// contentProof is the number of standard errors by which contents must
	// lower the left-out error to be taken in.
	contentProof = 1.64
	// honestParts is the number of parts of honestScale, and honestProducts the
	// number of products above which it would change nothing.
	honestParts    = 4
	honestProducts = 300
	// screenSteps bounds the refits; three or four are usual.
	screenSteps = 12
	// startTries is the number of subsamples of the robust start. Three
	// products make one; with 20 % of them overpriced 25 tries all fail once in
	// sixty million.
	startTries = 25
)

// contentSpreads are the prior standard deviations tried for what one standard
// deviation of a content does to the log price; 0 leaves the contents out.
var contentSpreads = []float64{0, 0.01, 0.03, 0.1, 0.3}

// settings is what a set of products says about how to judge prices.
type settings struct {
	spread
	kept    []bool  // by product of the market; false also for those not in the set
	content float64 // one of contentSpreads
	cut     float64 // two-sided p at or below which a product is set aside
	df      float64
	weights []float64 // relative penalties of the columns of contents; nil = all alike
}

// penalty is the ridge penalty of the settings.
func (s settings) penalty() float64 {
	if s.content == 0 {
		return math.Inf(1)
	}
	return s.scale * s.scale / (s.content * s.content)
}

// keptOf returns those of index that are kept.
func (s settings) keptOf(index []int) []int {
	out := make([]int, 0, len(index))
	for _, i := range index {
		if s.kept[i] {
			out = append(out, i)
		}
	}
	return out
}

// settle finds the settings from the products of index, so that overpriced ones
// among them do not decide what is fair.
//
// It starts from the trimShare that fit a robust line on area and time best:
// refit these with their contents and keep the best again, a few times:
// the concentration steps of P. J. Rousseeuw and K. Van Driessen (2006), Data
// Mining and Knowledge Discovery 12, 29-45. Then, from those within startCut
// scales, repeat until nothing changes: fit the kept products; kept ones get
// left-out errors, the others prediction errors; set aside is what Benjamini
// and Hochberg reject at innerLevel on both sides. At most half are ever set
// aside.
func (m *market) settle(index []int, start settings) (settings, error) {
	s := start
	s.kept = slices.Clone(start.kept)
	for range trimSteps {
		t, err := m.step(index, &s)
		if err != nil {
			return s, err
		}
		s.keep(index, t, stats.Quantile(t, trimShare))
	}
	t, err := m.step(index, &s)
	if err != nil {
		return s, err
	}
	s.keep(index, t, startCut)
	s.cut = 2 * distuv.UnitNormal.Survival(startCut)
	seen := map[string]bool{}
	for range screenSteps {
		if t, err = m.step(index, &s); err != nil {
			return s, err
		}
		limit, cut := setAside(t, s.df)
		changed := s.keep(index, t, limit)
		s.cut = cut
		if key := s.key(index); !changed || seen[key] {
			break
		} else {
			seen[key] = true
		}
	}
	fit, err := m.regress(s.keptOf(index), &s)
	if err != nil {
		return s, err
	}
	s.blanks = m.blankVariance(fit.Coef[2+m.timeTerms():], s.scale)
	return s, m.honestScale(index, &s)
}

// keep keeps those of index whose t does not exceed the limit and reports
// whether that changed anything.
func (s *settings) keep(index []int, t []float64, limit float64) bool {
	changed := false
	for k, i := range index {
		kept := t[k] <= limit
		changed = changed || kept != s.kept[i]
		s.kept[i] = kept
	}
	return changed
}

func (s *settings) key(index []int) string {
	key := make([]byte, len(index))
	for k, i := range index {
		if s.kept[i] {
			key[k] = 1
		}
	}
	return string(key)
}

// start is the robust beginning of settle.
func (m *market) start(index []int) settings {
	s := settings{kept: make([]bool, len(m.y)), cut: 1 - trimShare}
	y := make([]float64, len(index))
	d := stats.Design{Columns: make([][]float64, 2)}
	for k, i := range index {
		y[k] = m.y[i]
		d.Columns[0] = append(d.Columns[0], m.area[i])
		d.Columns[1] = append(d.Columns[1], m.time[i][0])
	}
	residuals, scale := robustResiduals(d, y, m.seed)
	for k := range residuals {
		residuals[k] = math.Abs(residuals[k])
	}
	s.scale = math.Max(scale, leastScale)
	s.keep(index, residuals, stats.Quantile(residuals, trimShare))
	s.share = m.withinShare(s.keptOf(index), s.scale)
	return s
}

// robustResiduals are those of the robust line on as many of the columns as
// have variation.
func robustResiduals(d stats.Design, y []float64, seed uint64) ([]float64, float64) {
	for k := len(d.Columns); k > 0; k-- {
		f, err := stats.RobustLine(stats.Design{Columns: d.Columns[:k]}, y, stats.RobustOptions{Seed: seed, Starts: startTries})
		if err == nil {
			return f.Residuals, f.Scale
		}
	}
	middle := stats.Median(y)
	out := make([]float64, len(y))
	for i, v := range y {
		out[i] = v - middle
	}
	return out, stats.MAD(y)
}

// step fits the kept products of index, sets penalty, scale and df, and returns
// the studentised error of every product of index, without its sign: from a fit
// without it.
func (m *market) step(index []int, s *settings) ([]float64, error) {
	f, fit, err := m.even(s.keptOf(index), s)
	if err != nil {
		return nil, err
	}
	errors, variances := fit.LeftOut()
	n := float64(len(f.index))
	out := make([]float64, len(index))
	g := 0
	for k, i := range index {
		if !s.kept[i] {
			out[k] = math.Abs(m.outside(fit, i, *s))
			continue
		}
		row := f.first[g]
		g++
		t := errors[row] / (s.scale * math.Sqrt(variances[row]))
		// The scale without the product itself.
		out[k] = math.Abs(t) / math.Sqrt(math.Max((n-t*t)/(n-1), 1e-6))
	}
	s.blanks = m.blankVariance(fit.Coef[2+m.timeTerms():], s.scale)
	return out, nil
}

// honestScale sets the scale from errors that the choice of penalty has not
// seen either: the kept products are divided once more, and each part is judged
// with the penalty the others choose. Otherwise the least left-out error of
// several makes ranges too narrow where products are few.
func (m *market) honestScale(index []int, s *settings) error {
	kept := s.keptOf(index)
	if m.contentTerms() == 0 || len(kept) > honestProducts {
		return nil
	}
	square := 0.0
	for part := range honestParts {
		inside, others := divide(len(kept), part, honestParts)
		for k := range others {
			others[k] = kept[others[k]]
		}
		try := *s
		fit, err := m.regress(others, &try)
		if err != nil {
			return err
		}
		for _, k := range inside {
			i := kept[k]
			expected, variance := fit.Predict(m.row(i))
			e := m.y[i] - expected
			square += e * e / (m.variance(i, s.spread) + variance)
		}
	}
	before := s.scale
	s.scale = math.Max(math.Sqrt(square/float64(len(kept))/truncated(s.cut)), leastScale)
	for k := range s.blanks {
		s.blanks[k] *= before * before / (s.scale * s.scale)
	}
	return nil
}

// even fits the products of index with all contents penalised alike and sets
// penalty, scale and df.
func (m *market) even(index []int, s *settings) (*factored, *stats.RidgeFit, error) {
	s.weights = nil
	f, err := m.factor(index, *s)
	if err != nil {
		return nil, nil, err
	}
	fit, err := m.choose(f, s)
	return f, fit, err
}

// regress fits the products of index and sets penalty, weights, scale and df:
// first evenly, then, where contents are taken in, each penalised by the inverse
// of what the first fit makes of it, so that contents that matter are shrunk
// little and the others much: H. Zou (2006), J. Am. Stat. Assoc. 101, 1418-1429,
// on adaptive weights. The columns of one content have one weight.
func (m *market) regress(index []int, s *settings) (*stats.RidgeFit, error) {
	_, fit, err := m.even(index, s)
	if err != nil || s.content == 0 {
		return fit, err
	}
	s.weights = m.adapt(fit.Coef[2+m.timeTerms():], s.scale*s.scale/float64(len(index)))
	f, err := m.factor(index, *s)
	if err != nil {
		return nil, err
	}
	return m.choose(f, s)
}

// adapt returns the relative penalties of contents with these coefficients;
// noise is about the variance of one by chance.
func (m *market) adapt(coef []float64, noise float64) []float64 {
	groups := m.content[len(m.content)-1] + 1
	square, n := make([]float64, groups), make([]float64, groups)
	total := 0.0
	for j, b := range coef {
		square[m.content[j]] += b * b
		n[m.content[j]]++
		total += b * b / float64(len(coef))
	}
	out := make([]float64, len(coef))
	for j := range out {
		g := m.content[j]
		out[j] = (total + noise) / (square[g]/n[g] + noise)
	}
	return out
}

// choose picks the spread of contents with the least left-out error and sets
// penalty, scale and df. Contents are taken in only where they lower the error
// by more than contentProof standard errors of that gain.
func (m *market) choose(f *factored, s *settings) (*stats.RidgeFit, error) {
	var best *stats.RidgeFit
	var alone, squares []float64 // squared left-out errors
	least := math.Inf(1)
	try := *s
	for _, content := range m.spreadsToTry() {
		try.content = content
		fit, err := f.Fit(try.penalty())
		if err != nil {
			return nil, err
		}
		errors, variances := fit.LeftOut()
		squares = squares[:0]
		criterion, square, effective := 0.0, 0.0, 0.0
		for _, row := range f.first {
			e := errors[row] * errors[row]
			squares = append(squares, e)
			criterion += e
			square += e / variances[row]
			effective += fit.Leverage[row]
		}
		if alone == nil {
			alone = append(alone, squares...)
		} else if !(criterion < least) || !proven(alone, squares) {
			continue
		}
		n := float64(len(f.first))
		least, best = criterion, fit
		s.content = content
		s.df = math.Max(1, n-effective)
		s.scale = math.Max(math.Sqrt(square/n/truncated(s.cut)), leastScale)
	}
	return best, nil
}

// proven reports whether the squared errors are lower by more than contentProof
// standard errors.
func proven(alone, squares []float64) bool {
	gain := make([]float64, len(alone))
	for i := range gain {
		gain[i] = alone[i] - squares[i]
	}
	return stats.Mean(gain) > contentProof*stats.SD(gain)/math.Sqrt(float64(len(gain)))
}

func (m *market) spreadsToTry() []float64 {
	if m.contentTerms() == 0 {
		return contentSpreads[:1]
	}
	return contentSpreads
}

// truncated is the variance of a standard normal value known to lie within the
// cut: what setting aside at that cut takes from the variance of the kept.
func truncated(cut float64) float64 {
	z := distuv.UnitNormal.Quantile(1 - cut/2)
	return 1 - 2*z*distuv.UnitNormal.Prob(z)/(1-cut)
}

// outside is the studentised error of a product that took no part in the fit.
func (m *market) outside(fit *stats.RidgeFit, i int, s settings) float64 {
	expected, variance := fit.Predict(m.row(i))
	return (m.y[i] - expected) / (s.scale * math.Sqrt(m.variance(i, s.spread)+variance))
}

func student(df float64) distuv.StudentsT {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: math.Max(df, 1)}
}

// setAside returns the t above which products are set aside, by Benjamini and
// Hochberg at innerLevel on both sides and at most half of all, and the p that
// belongs to it.
func setAside(t []float64, df float64) (limit, cut float64) {
	sorted := slices.Clone(t)
	slices.Sort(sorted)
	slices.Reverse(sorted)
	n := len(t)
	rejected := 0
	for k := range n / 2 {
		if 2*student(df).Survival(sorted[k]) <= innerLevel*float64(k+1)/float64(n) {
			rejected = k + 1
		}
	}
	cut = innerLevel * float64(max(rejected, 1)) / float64(n)
	return student(df).Quantile(1 - cut/2), cut
}
