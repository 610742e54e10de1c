package hedonic

import (
	"math"
	"slices"

	"golang.org/x/sync/errgroup"
	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/outlier"
)

// A product is judged by a fit to the other folds, and who is clean is settled by
// at most settleProducts of them, evenly taken: more move nothing that shows, and
// with many products few folds do.
const (
	mostFolds      = 8
	fewestFolds    = 2
	foldProducts   = 5000 // folds times products
	settleProducts = 2000
)

func foldsOf(n int) int { return max(fewestFolds, min(mostFolds, foldProducts/max(n, 1))) }

// thin takes at most settleProducts of index, evenly.
func thin(index []int) []int {
	n := min(len(index), settleProducts)
	out := make([]int, n)
	for k := range out {
		out[k] = index[k*len(index)/n]
	}
	return out
}

// LeftOut is what the regression says about one product without having seen its
// price, as that of its last opening would be. Prices are logarithms.
type LeftOut struct {
	Coef  []float64 // of one, area, time basis, contents
	noise *outlier.Model
	wide  float64 // root of the variance of one price about the usual one, in units of the noise's
	sure  float64 // the same of the usual price itself
	ranges
}

// ranges are those in which a sound price lies about the usual one, in units of
// wide: the market's Inner and Outer.
type ranges struct{ innerLow, innerHigh, outerLow, outerHigh float64 }

func (m *Market) rangesOf(noise *outlier.Model) (r ranges) {
	r.innerLow, r.innerHigh = noise.ErrorRange(m.Inner)
	r.outerLow, r.outerHigh = noise.ErrorRange(m.Outer)
	return r
}

// half is half the width of the outer range.
func (r ranges) half() float64 { return (r.outerHigh - r.outerLow) / 2 }

// Inner is the narrower range in which a sound price lies about the usual one.
func (l *LeftOut) Inner() (low, high float64) { return l.wide * l.innerLow, l.wide * l.innerHigh }

// Outer is the wider one.
func (l *LeftOut) Outer() (low, high float64) { return l.wide * l.outerLow, l.wide * l.outerHigh }

// Sure is half the width of the range of the usual price itself.
func (l *LeftOut) Sure() float64 { return l.sure * l.half() }

// Above is the chance that a sound price lies so much above the usual one.
func (l *LeftOut) Above(by float64) float64 { return l.noise.ErrorAbove(by / l.wide) }

// Estimate is what a fit expects of a row (one, area, time basis, contents) less
// that of an average one, and half the width of its outer range.
func (m *Market) Estimate(f *Fit, row []float64) (fit, half float64) {
	fit, variance := f.posterior.at(row)
	return fit, m.rangesOf(f.noise).half() * math.Sqrt(variance)
}

// CrossValidate judges every product by a fit that has not seen it: who is clean,
// which contents matter and the scale come from the products of the other folds,
// the coefficients from all other products. Products are assigned to folds in
// turn, so their order must not depend on the price. It returns the results on
// contents and those on area alone, and the fit to all products.
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

// fitBoth fits the products of index by area alone and, from there, by contents.
func (m *Market) fitBoth(index []int) (byArea, byContents *Fit, err error) {
	from := m.begin(thin(index))
	if byArea, err = m.withoutContents().fitMixtureAll(index, from, nil); err != nil {
		return nil, nil, err
	}
	byContents, err = m.fitMixtureAll(index, from, byArea)
	return byArea, byContents, err
}

// allBut lists the places 0..n-1 but one, all where that is -1.
func allBut(n, one int) []int {
	out := make([]int, 0, n)
	for i := range n {
		if i != one {
			out = append(out, i)
		}
	}
	return out
}

// divide returns the places 0..n-1 inside one of folds parts and the others.
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

// judgeFold judges the products of inside by a fit they have no part in: it takes
// in all of them, weighted as it sees them, but the one judged.
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

// Judge is the left-out fit of a product that is not in the market: of a log media
// area, centred, contents as in X and the covariance that blanks among them leave
// open (nil without any), at the last date of all. It is fitted to all products
// but one, or to all where that is -1.
func (m *Market) Judge(area float64, contents []float64, unknown *mat.SymDense, but int) (LeftOut, error) {
	_, s, err := m.fitBoth(allBut(len(m.Y), but))
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
