package hedonic

import (
	"math"
	"slices"

	"golang.org/x/sync/errgroup"
	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/outlier"
)

// The number of folds is foldProducts over the number of products, from fewestFolds
// to mostFolds: with many products few folds suffice. The mixture of clean and
// shifted products is fitted to at most settleProducts products, evenly spaced; more
// would not change the results noticeably.
const (
	mostFolds      = 8
	fewestFolds    = 2
	foldProducts   = 5000
	settleProducts = 2000
)

func foldsOf(n int) int { return max(fewestFolds, min(mostFolds, foldProducts/max(n, 1))) }

// thin returns at most settleProducts elements of index, evenly spaced.
func thin(index []int) []int {
	n := min(len(index), settleProducts)
	out := make([]int, n)
	for k := range out {
		out[k] = index[k*len(index)/n]
	}
	return out
}

// LeftOut is the prediction for one product, at the date of its last opening, by a
// regression that has not seen its price. Prices are logarithms.
type LeftOut struct {
	Coef  []float64 // of the constant, area, time basis and contents
	noise *outlier.Model
	wide  float64 // standard deviation of a price about the prediction, in units of the noise SD
	sure  float64 // standard error of the prediction, in the same units
	ranges
}

// ranges are the limits of a price that is not overpriced, relative to the
// prediction and in units of wide, for the shares Inner and Outer of the market.
type ranges struct{ innerLow, innerHigh, outerLow, outerHigh float64 }

func (m *Market) rangesOf(noise *outlier.Model) (r ranges) {
	r.innerLow, r.innerHigh = noise.ErrorRange(m.Inner)
	r.outerLow, r.outerHigh = noise.ErrorRange(m.Outer)
	return r
}

// half returns half the width of the outer range.
func (r ranges) half() float64 { return (r.outerHigh - r.outerLow) / 2 }

// Inner returns the narrower range of a price that is not overpriced, relative to
// the prediction.
func (l *LeftOut) Inner() (low, high float64) { return l.wide * l.innerLow, l.wide * l.innerHigh }

// Outer returns the wider range.
func (l *LeftOut) Outer() (low, high float64) { return l.wide * l.outerLow, l.wide * l.outerHigh }

// Sure returns half the width of the confidence interval of the prediction, at the
// level of the outer range.
func (l *LeftOut) HalfWidth() float64 { return l.sure * l.half() }

// Above returns the probability that a price that is not overpriced exceeds the
// prediction by more than by.
func (l *LeftOut) Above(by float64) float64 { return l.noise.ErrorAbove(by / l.wide) }

// Estimate returns the prediction of f for a row (1, area, time basis, contents),
// less the mean log price, and half the width of its confidence interval at the
// level of the outer range.
func (m *Market) Estimate(f *Fit, row []float64) (fit, half float64) {
	fit, variance := f.posterior.at(row)
	return fit, m.rangesOf(f.noise).half() * math.Sqrt(variance)
}

// CrossValidate predicts every product by a fit that has not seen it: the weights of
// the products, the contents that have an effect and the scale come from the other
// folds, the coefficients from all other products. Products are assigned to folds in
// turn, so their order must not depend on the price. It returns the predictions from
// contents, those from area and time alone, and the fit to all products.
func (m *Market) CrossValidate() (contents, plain []LeftOut, whole *Fit, err error) {
	n := len(m.Y)
	folds := foldsOf(n)
	contents, plain = make([]LeftOut, n), make([]LeftOut, n)
	var group errgroup.Group
	group.Go(func() (err error) {
		_, whole, err = m.fitBoth(allBut(n, -1))
		return err
	})
	for fold := range folds {
		group.Go(func() error {
			inside, others := divide(n, fold, folds)
			byArea, byContents, err := m.fitBoth(others)
			if err != nil {
				return err
			}
			if err := m.withoutContents().judgeFold(inside, byArea, plain); err != nil {
				return err
			}
			return m.judgeFold(inside, byContents, contents)
		})
	}
	err = group.Wait()
	return contents, plain, whole, err
}

// fitBoth fits the products of index by area and time alone and, starting from that
// fit, by contents too.
func (m *Market) fitBoth(index []int) (byArea, byContents *Fit, err error) {
	from := m.begin(thin(index))
	if byArea, err = m.withoutContents().fitMixtureAll(index, from, nil); err != nil {
		return nil, nil, err
	}
	byContents, err = m.fitMixtureAll(index, from, byArea)
	return byArea, byContents, err
}

// allBut returns the indices 0 to n-1 except one; -1 = no exception.
func allBut(n, one int) []int {
	out := make([]int, 0, n)
	for i := range n {
		if i != one {
			out = append(out, i)
		}
	}
	return out
}

// divide returns the indices 0 to n-1 inside a fold, and the others.
func divide(n, fold, folds int) (inside, others []int) {
	for i := range n {
		if i%folds == fold {
			inside = append(inside, i)
		} else {
			others = append(others, i)
		}
	}
	return inside, others
}

// judgeFold predicts each product of inside from s, a fit to the other folds, after
// adding the other products of inside with the weights that s gives them.
func (m *Market) judgeFold(inside []int, s *Fit, out []LeftOut) error {
	row := make([]float64, m.terms())
	all := newNormalEquations(m.terms())
	all.set(s.posterior.normalEquations)
	for _, i := range inside {
		m.weigh(i, s, row)
		m.add(all, i, s, s.weight[i], row)
	}
	ranges := m.rangesOf(s.noise)
	without, solved := newNormalEquations(all.n), newCholesky(all.n)
	for _, i := range inside {
		without.set(all)
		m.add(without, i, s, -s.weight[i], row)
		if err := solved.of(without.a); err != nil {
			return err
		}
		st := LeftOut{Coef: slices.Clone(without.b), noise: s.noise, ranges: ranges}
		solved.solve(st.Coef)
		m.rowTo(i, row)
		copy(row[2:], m.LastTime[i])
		unsure := solved.square(row) + m.varianceOf(i, 1, s.spread) - s.of(1)
		st.wide, st.sure = math.Sqrt(unsure+s.of(1))*s.noise.Widening(m.Area[i]), math.Sqrt(unsure)
		st.Coef[0] += s.middle
		out[i] = st
	}
	return nil
}

// Judge predicts a product that is not in the market, at the last date of all. area
// is its log media area, centred; contents are as in X, and unknown is the covariance
// of those that are blank (nil without blanks). The fit leaves out product but of the
// market; -1 = none.
func (m *Market) Judge(area float64, contents []float64, unknown *mat.SymDense, except int) (LeftOut, error) {
	_, s, err := m.fitBoth(allBut(len(m.Y), except))
	if err != nil {
		return LeftOut{}, err
	}
	row := append([]float64{1, area}, make([]float64, m.timeTerms())...)
	unsure := 0.0
	if m.X != nil {
		if unknown != nil {
			b := mat.NewVecDense(len(contents), s.posterior.coef[len(row):])
			unsure += mat.Inner(b, unknown, b) / (s.scale * s.scale)
		}
		row = append(row, contents...)
	}
	_, uncertain := s.posterior.at(row)
	unsure += uncertain
	out := LeftOut{Coef: slices.Clone(s.posterior.coef), noise: s.noise, ranges: m.rangesOf(s.noise),
		wide: math.Sqrt(s.of(1)+unsure) * s.noise.Widening(area), sure: math.Sqrt(unsure)}
	out.Coef[0] += s.middle
	return out, nil
}
