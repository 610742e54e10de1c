package price

import (
	"fmt"
	"math"

	"golang.org/x/sync/errgroup"
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
	coef  []float64 // one, area, time basis, contents
	se    float64   // of the log price about the expected one
	df    float64
	error float64 // log price less the expected one
	// half80 and half95 are half the widths of the ranges, of the log price.
	half80, half95 float64
}

// standings judges every product by a fit that has not seen it: the settings
// (who is set aside, penalty, scale) come from the products of the other folds,
// the coefficients from all other products. Products are assigned to folds in
// turn, so their order must not depend on the price. It returns the standings
// on contents and those on area alone.
func (m *market) standings() (contents, plain []standing, err error) {
	n := len(m.y)
	folds := foldsOf(n)
	contents, plain = make([]standing, n), make([]standing, n)
	alone := m.withoutContents()
	var group errgroup.Group
	for fold := range folds {
		group.Go(func() error {
			inside, others := divide(n, fold, folds)
			start := m.start(thin(others))
			if err := m.judgeFold(inside, others, start, contents); err != nil {
				return err
			}
			return alone.judgeFold(inside, others, start, plain)
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

// settleAll finds the settings from the products of others and says also of
// those of inside, which have no part in them, who is kept.
func (m *market) settleAll(others, inside []int, start settings) (settings, error) {
	sample := thin(others)
	s, err := m.settle(sample, start)
	if err != nil {
		return s, err
	}
	f, err := m.factor(s.keptOf(sample), s)
	if err != nil {
		return s, err
	}
	fit, err := f.Fit(s.penalty())
	if err != nil {
		return s, err
	}
	limit := student(s.df).Quantile(1 - s.cut/2)
	seen := make([]bool, len(m.y))
	for _, i := range sample {
		seen[i] = true
	}
	for _, index := range [][]int{others, inside} {
		for _, i := range index {
			if !seen[i] {
				s.kept[i] = math.Abs(m.outside(fit, i, s)) < limit
			}
		}
	}
	return s, nil
}

func (m *market) judgeFold(inside, others []int, start settings, out []standing) error {
	s, err := m.settleAll(others, inside, start)
	if err != nil {
		return err
	}
	keptOthers := s.keptOf(others)
	f, err := m.factor(append(keptOthers, s.keptOf(inside)...), s)
	if err != nil {
		return err
	}
	fit, err := f.Fit(s.penalty())
	if err != nil {
		return err
	}
	t80, t95 := student(s.df).Quantile(0.90), student(s.df).Quantile(0.975)
	stand := func(i int, coef []float64, expected, variance float64) standing {
		se := s.scale * math.Sqrt(m.variance(i, s.spread)+variance)
		return standing{coef: coef, df: s.df, error: m.y[i] - expected, se: se, half80: t80 * se, half95: t95 * se}
	}
	for g, i := range f.index {
		if g < len(keptOthers) {
			continue
		}
		without, ok := fit.Without(g)
		if !ok {
			return fmt.Errorf("product %d alone decides a coefficient", i) // the priors rule it out
		}
		expected, variance := without.Predict(m.row(i))
		out[i] = stand(i, without.Coef, expected, variance)
	}
	for _, i := range inside {
		if !s.kept[i] {
			expected, variance := fit.Predict(m.row(i))
			out[i] = stand(i, fit.Coef, expected, variance)
		}
	}
	return nil
}
