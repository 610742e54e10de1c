package roundup

import (
	"math"
	"slices"

	"pleatstat/stats/linear"
	"pleatstat/stats/num"
	"pleatstat/stats/outlier"
	"pleatstat/stats/robust"
)

// fewestForLine is the least number of openings for a line.
const fewestForLine = 12

// fitted is a line through the sound openings up to the year.
type fitted struct {
	residual []float64 // one per opening of the bench, NaN where it was not fitted
	slope    float64   // of the first predictor
	n        int       // number of openings fitted
}

// lineOn fits a response on predictors (all on the scale of the fit, one value
// per opening) by the contaminated model of package outlier, over the openings up
// to the year with all values. If dated, the date is a further predictor, so that
// a rise of all prices does not count as a difference between makers.
//
// Errors: those of robust.RobustLine and outlier.Fit; *num.TooFewError below
// fewestForLine openings.
func (b *bench) lineOn(response []float64, dated bool, predictors ...[]float64) (fitted, error) {
	if dated {
		when := make([]float64, len(b.rows))
		for i, o := range b.rows {
			when[i] = o.when - float64(b.year)
		}
		predictors = append(predictors, when)
	}
	var design linear.Design
	var y []float64
	var rows []int
	design.Columns = make([][]float64, len(predictors))
	complete := func(i int) bool {
		return !math.IsNaN(response[i]) && !slices.ContainsFunc(predictors, func(x []float64) bool { return math.IsNaN(x[i]) })
	}
	// Taking products in order of name makes the fit independent of the order of
	// the file.
	for _, p := range b.products {
		for _, i := range p.openings {
			if b.upToNow(b.rows[i]) && complete(i) {
				rows = append(rows, i)
				y = append(y, response[i])
				for j, x := range predictors {
					design.Columns[j] = append(design.Columns[j], x[i])
				}
			}
		}
	}
	if len(y) < fewestForLine {
		return fitted{}, &num.TooFewError{What: "openings", Have: len(y), Need: fewestForLine}
	}
	m, err := modelOf(design, y)
	if err != nil && dated { // all on one day: no rise can be estimated
		design.Columns = design.Columns[:len(design.Columns)-1]
		m, err = modelOf(design, y)
	}
	if err != nil {
		return fitted{}, err
	}
	f := fitted{residual: make([]float64, len(b.rows)), slope: m.Coef[1], n: len(y)}
	for i := range f.residual {
		f.residual[i] = math.NaN()
	}
	for k, i := range rows {
		f.residual[i] = m.Residual[k]
	}
	return f, nil
}

// modelOf fits a line that is not pulled by outliers.
func modelOf(design linear.Design, y []float64) (*outlier.Model, error) {
	start, err := robust.RobustLine(design, y, robust.RobustOptions{})
	if err != nil {
		return nil, err
	}
	return outlier.Fit(design.Columns, y, outlier.Start{Fitted: start.Fitted, Scale: start.Scale})
}
