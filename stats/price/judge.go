package price

import (
	"fmt"
	"math"
	"slices"

	"golang.org/x/sync/errgroup"
)

// A product is judged with settings from the other folds; with many products
// few folds do, as one in thousands moves no setting.
const (
	mostFolds    = 10
	fewestFolds  = 3
	foldProducts = 5000 // folds times products
)

func foldsOf(n int) int { return max(fewestFolds, min(mostFolds, foldProducts/max(n, 1))) }

// standing is what the regression says about one product without having seen
// its price.
type standing struct {
	coef  []float64 // one, area, time basis, contents
	se    float64   // of the log price about the expected one
	df    float64
	error float64 // log price less the expected one
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
			start := m.start(others)
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

func (m *market) judgeFold(inside, others []int, start settings, out []standing) error {
	s, err := m.settle(others, start)
	if err != nil {
		return err
	}
	f, err := m.factor(s.keptOf(others), s.spread)
	if err != nil {
		return err
	}
	fit, err := f.Fit(s.penalty())
	if err != nil {
		return err
	}
	keptInside := 0
	for _, i := range inside {
		t := m.outside(fit, i, s)
		if s.kept[i] = 2*student(s.df).Survival(math.Abs(t)) > s.cut; s.kept[i] {
			keptInside++
		}
	}
	if f, err = m.factor(s.keptOf(slices.Concat(others, inside)), s.spread); err != nil {
		return err
	}
	if fit, err = f.Fit(s.penalty()); err != nil {
		return err
	}
	for g, i := range f.index {
		if g < len(f.index)-keptInside {
			continue
		}
		without, ok := fit.Without(g)
		if !ok {
			return fmt.Errorf("product %d alone decides a coefficient", i) // the priors rule it out
		}
		expected, variance := without.Predict(m.row(i))
		out[i] = m.stand(i, s, without.Coef, expected, variance)
	}
	for _, i := range inside {
		if !s.kept[i] {
			expected, variance := fit.Predict(m.row(i))
			out[i] = m.stand(i, s, fit.Coef, expected, variance)
		}
	}
	return nil
}

func (m *market) stand(i int, s settings, coef []float64, expected, variance float64) standing {
	return standing{
		coef: coef, df: s.df, error: m.y[i] - expected,
		se: s.scale * math.Sqrt(m.variance(i, s.spread)+variance),
	}
}
