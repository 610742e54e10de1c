package price

import (
	"math"
	"slices"

	"golang.org/x/sync/errgroup"

	"pleatstat/stats/outlier"
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

// standing is what the regression says about one product without having seen
// its price.
type standing struct {
	coef  []float64      // one, area, time basis, contents
	error float64        // log price less the expected one
	noise *outlier.Model // of errors over wide
	wide  float64        // root of the error's variance in units of the noise's
	ranges
}

// ranges are those in which the log price of a clean product lies, about the
// expected one.
type ranges struct{ low80, high80, low95, high95 float64 }

func rangesOf(noise *outlier.Model) (r ranges) {
	r.low80, r.high80 = noise.ErrorRange(0.80)
	r.low95, r.high95 = noise.ErrorRange(0.95)
	return r
}

// times is the ranges of errors so many times as wide.
func (r ranges) times(wide float64) ranges {
	return ranges{r.low80 * wide, r.high80 * wide, r.low95 * wide, r.high95 * wide}
}

// chanceBelow is the chance that a clean product's log price would lie below
// one that is so much above the expected.
func (s *standing) chanceBelow(error float64) float64 { return 1 - s.noise.ErrorAbove(error/s.wide) }

// standings judges every product by a fit that has not seen it: the settings
// (who is clean, which contents matter, scale) come from the products of the
// other folds, the coefficients from all other products. Products are assigned
// to folds in turn, so their order must not depend on the price. It returns the
// standings on contents and those on area alone.
func (m *market) standings() (contents, plain []standing, err error) {
	n := len(m.y)
	folds := foldsOf(n)
	contents, plain = make([]standing, n), make([]standing, n)
	alone := m.withoutContents()
	var group errgroup.Group
	for fold := range folds {
		group.Go(func() error {
			inside, others := divide(n, fold, folds)
			from := m.begin(thin(others))
			byArea, err := alone.settleAll(others, from, nil)
			if err != nil {
				return err
			}
			if err := alone.judgeFold(inside, byArea, plain); err != nil {
				return err
			}
			byContents, err := m.settleAll(others, from, byArea)
			if err != nil {
				return err
			}
			return m.judgeFold(inside, byContents, contents)
		})
	}
	return contents, plain, group.Wait()
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
func (m *market) judgeFold(inside []int, s *settings, out []standing) error {
	row := make([]float64, m.terms())
	all := newCross(m.terms())
	all.set(s.fit.cross)
	for _, i := range inside {
		m.weigh(i, s, row)
		m.add(all, i, s, s.weight[i], row)
	}
	ranges := rangesOf(s.noise)
	without, solved := newCross(all.n), newCholesky(all.n)
	for _, i := range inside {
		without.set(all)
		m.add(without, i, s, -s.weight[i], row)
		if err := solved.of(without.a); err != nil {
			return err
		}
		st := standing{coef: slices.Clone(without.b), noise: s.noise, error: m.y[i] - s.middle}
		solved.solve(st.coef)
		m.rowTo(i, row)
		for j, x := range row {
			st.error -= x * st.coef[j]
		}
		st.wide = math.Sqrt(m.variance(i, s.spread)+solved.square(row)) * s.noise.Widening(m.area[i])
		st.ranges = ranges.times(st.wide)
		st.coef[0] += s.middle
		out[i] = st
	}
	return nil
}
