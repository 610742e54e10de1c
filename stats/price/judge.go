package price

import (
	"math"
	"slices"

	"golang.org/x/sync/errgroup"

	"pleatstat/stats/outlier"
	"pleatstat/stats/trend"
)

// A product is judged with settings from the other folds, and of those from at
// most settleProducts, evenly taken: more products move no setting that shows,
// and with many products few folds do.
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

// leftOut is what the regression says about one product without having seen
// its price.
type leftOut struct {
	coef  []float64      // one, area, time basis, contents
	noise *outlier.Model // of errors over wide
	wide  float64        // root of the variance of one price about the usual one, in units of the noise's
	sure  float64        // the same of the usual price itself
	ranges
}

// ranges are those in which the logarithm of a sound price lies about the usual
// one, in units of wide: 4 of 5, and 19 of 20.
type ranges struct{ innerLow, innerHigh, outerLow, outerHigh float64 }

func rangesOf(noise *outlier.Model) (r ranges) {
	r.innerLow, r.innerHigh = noise.ErrorRange(innerRange)
	r.outerLow, r.outerHigh = noise.ErrorRange(trend.Confidence)
	return r
}

// half is half the width of the outer range.
func (r ranges) half() float64 { return (r.outerHigh - r.outerLow) / 2 }

// above is the chance that a sound price lies so much, in its logarithm, above the
// usual one.
func (s *leftOut) above(by float64) float64 { return s.noise.ErrorAbove(by / s.wide) }

// crossValidate judges every product by a fit that has not seen it: the settings
// (who is clean, which contents matter, scale) come from the products of the
// other folds, the coefficients from all other products. Products are assigned
// to folds in turn, so their order must not depend on the price. It returns the
// results on contents and those on area alone, and the settings from all.
func (m *market) crossValidate() (contents, plain []leftOut, whole *settings, err error) {
	n := len(m.y)
	folds := foldsOf(n)
	contents, plain = make([]leftOut, n), make([]leftOut, n)
	alone := m.withoutContents()
	var group errgroup.Group
	group.Go(func() error {
		every := make([]int, n)
		for i := range every {
			every[i] = i
		}
		from := m.begin(thin(every))
		byArea, err := alone.fitMixtureAll(every, from, nil)
		if err == nil {
			whole, err = m.fitMixtureAll(every, from, byArea)
		}
		return err
	})
	for fold := range folds {
		group.Go(func() error {
			inside, others := divide(n, fold, folds)
			from := m.begin(thin(others))
			byArea, err := alone.fitMixtureAll(others, from, nil)
			if err != nil {
				return err
			}
			if err := alone.judgeFold(inside, byArea, plain); err != nil {
				return err
			}
			byContents, err := m.fitMixtureAll(others, from, byArea)
			if err != nil {
				return err
			}
			return m.judgeFold(inside, byContents, contents)
		})
	}
	err = group.Wait()
	return contents, plain, whole, err
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

// judgeFold judges the products of inside by settings they have no part in: the
// fit takes in all of them, weighted as the settings see them, but the one judged.
func (m *market) judgeFold(inside []int, s *settings, out []leftOut) error {
	row := make([]float64, m.terms())
	all := newNormalEquations(m.terms())
	all.set(s.fit.normalEquations)
	for _, i := range inside {
		m.weigh(i, s, row)
		m.add(all, i, s, s.weight[i], row)
	}
	ranges := rangesOf(s.noise)
	without, solved := newNormalEquations(all.n), newCholesky(all.n)
	for _, i := range inside {
		without.set(all)
		m.add(without, i, s, -s.weight[i], row)
		if err := solved.of(without.a); err != nil {
			return err
		}
		st := leftOut{coef: slices.Clone(without.b), noise: s.noise}
		solved.solve(st.coef)
		m.rowTo(i, row)
		copy(row[2:], m.lastTime[i])
		unsure := solved.square(row) + m.varianceOf(i, 1, s.spread) - s.of(1)
		st.wide, st.sure = math.Sqrt(unsure+s.of(1))*s.noise.Widening(m.area[i]), math.Sqrt(unsure)
		st.coef[0] += s.middle
		st.ranges = ranges
		out[i] = st
	}
	return nil
}
