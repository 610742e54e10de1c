package price

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"pleatstat/dataset"
)

// ValueError says that a value given to WhatIf cannot be used.
type ValueError struct{ Column, Text, Message string }

func (e *ValueError) Error() string {
	return fmt.Sprintf("%s = %q: %s", e.Column, e.Text, e.Message)
}

// ErrNothingGiven says that WhatIf was called without a value.
var ErrNothingGiven = errors.New("no value given: want a price or contents, such as price=8.99")

// WhatIf judges a part that is not in the log. Keys are column names as a log's
// header may have them; values are read as a cell of the log would be, in the
// units the log writes that column in unless they bring their own. All but the
// media area may be blank; without a price the judgement says what would be
// fair. The money is that of the date given, within the years of the log;
// without a date that of the log's latest opening.
//
// Where maker and part name a product of the log, what is not given is taken
// from it and it takes no part in the fit: WhatIf with its price alone asks
// about the same part at another price.
//
// Errors: *ValueError for a value that cannot be read or a column that is not
// known, ErrNothingGiven, and those of dataset.Read.
func (m *Model) WhatIf(values map[string]string) (Judgement, error) {
	if len(values) == 0 {
		return Judgement{}, ErrNothingGiven
	}
	i := m.find(values["maker"], values["part"])
	row, err := m.readRow(values, i)
	if err != nil {
		return Judgement{}, err
	}
	judged, err := m.WhatIfLog(row)
	if err != nil {
		return Judgement{}, err
	}
	if i >= 0 && m.standings != nil && m.place[i] >= 0 && onlyPrice(values) {
		s := m.subject(m.place[i])
		s.log = math.Log(judged[0].Paid)
		j := m.weigh(s)
		j.N = 0
		j.Comparables = m.nearest(s)
		j.Warnings = append(j.Warnings, m.warnings...)
		return j, nil
	}
	j := judged[0]
	j.Maker, j.Part, j.N = values["maker"], values["part"], 0
	return j, nil
}

// unnamed stands for the maker and the part number of a part without.
const unnamed = "unnamed"

func onlyPrice(values map[string]string) bool {
	for key := range values {
		if key != "maker" && key != "part" && key != "price" {
			return false
		}
	}
	return values["price"] != ""
}

func (m *Model) find(maker, part string) int {
	return slices.IndexFunc(m.products, func(p product) bool { return p.maker == maker && p.part == part && part != "" })
}

// WhatIfLog judges the products of another log against this one, in the order
// in which they appear there. A product of the same name takes no part in the
// fit. Prices are taken to be in this log's currency. Cells that do not count are
// told among the warnings.
func (m *Model) WhatIfLog(rows *dataset.Log) ([]Judgement, error) {
	products, err := gather(rows)
	if err != nil {
		return nil, err
	}
	out := make([]Judgement, len(products))
	notes := unread(rows)
	for k := range products {
		if out[k], err = m.judgeNew(&products[k]); err != nil {
			return nil, err
		}
		out[k].Warnings = append(notes[k], out[k].Warnings...)
	}
	return out, nil
}

func (m *Model) judgeNew(p *product) (Judgement, error) {
	if m.standings == nil || math.IsNaN(p.area) {
		j := blank(p.maker, p.part)
		if len(p.purchases) > 0 {
			j.Paid = math.Exp(p.meanPrice())
		}
		if m.standings == nil {
			j.Needed = leastProducts
			j.Warnings = []string{m.needs()}
		} else {
			j.Warnings = []string{"not judged: no media area is given"}
		}
		return j, nil
	}
	same := -1
	if i := m.find(p.maker, p.part); i >= 0 {
		same = m.place[i]
	}
	s := subject{product: p, x: m.coding.row(*p), when: p.latest, place: same, log: math.NaN()}
	s.open = m.filling.given(s.x)
	s.filled = make([]float64, len(s.x))
	s.open.fill(s.x, m.filling.mean, s.filled)
	if m.options.ThisYear || math.IsNaN(s.when) {
		s.when = m.time.High
	}
	s.when = min(max(s.when, m.time.Low), m.time.High) // the log says nothing of other years
	s.at = m.money(s.when)
	mean, _ := m.timeRows(*p)
	if p.latestRow < 0 { // without a date, in the money it is judged in
		mean = s.at
	}
	others := make([]int, 0, len(m.usable))
	for k := range m.usable {
		if k != same {
			others = append(others, k)
		}
	}
	alone := m.market.withoutContents()
	from := m.market.begin(thin(others))
	byArea, err := alone.settleAll(others, from, nil)
	if err != nil {
		return Judgement{}, err
	}
	byContents, err := m.market.settleAll(others, from, byArea)
	if err != nil {
		return Judgement{}, err
	}
	s.contents, s.plain = m.market.judgeNew(s, mean, byContents), alone.judgeNew(s, mean, byArea)
	if len(p.purchases) > 0 {
		s.log = m.expected(s.contents.coef, s) + s.contents.error
	}
	j := m.weigh(s)
	j.Comparables = m.nearest(s)
	j.Warnings = append(append(j.Warnings, m.beyond(p.area)...), m.warnings...)
	return j, nil
}

// beyond says that a media area (its log) lies beyond those of the log, where the
// line is only extended.
func (m *Model) beyond(area float64) []string {
	least, most := slices.Min(m.market.area)+m.market.centre, slices.Max(m.market.area)+m.market.centre
	if area >= least-areaSlack && area <= most+areaSlack {
		return nil
	}
	say := func(v float64) string { return m.log.Units().Format("media_area", math.Exp(v)) }
	return []string{fmt.Sprintf("a media area of %s lies beyond all of the log (%s to %s): what is fair there is only the line carried on",
		say(area), say(least), say(most))}
}

// areaSlack is how far beyond the log's, in its logarithm, an area is no news.
const areaSlack = 0.05

// judgeNew is the standing of a product that has no part in the settings; mean
// is its time basis.
func (m *market) judgeNew(s subject, mean []float64, set *settings) standing {
	row := append([]float64{1, s.product.area - m.centre}, mean...)
	variance := set.of(float64(max(len(s.product.purchases), 1)))
	if m.x != nil {
		row = append(row, s.filled[1:]...)
		if open := withoutFirst(s.open.spread); open != nil {
			b := mat.NewVecDense(len(s.filled)-1, set.fit.coef[2+len(mean):])
			variance += mat.Inner(b, open, b) / (set.scale * set.scale)
		}
	}
	expected, uncertain := set.fit.at(row)
	expected += set.middle
	out := standing{coef: slices.Clone(set.fit.coef), noise: set.noise, error: math.NaN(), wide: math.Sqrt(variance+uncertain) * set.noise.Widening(s.product.area-m.centre)}
	out.coef[0] += set.middle
	out.ranges = rangesOf(set.noise).times(out.wide)
	if len(s.product.purchases) > 0 {
		out.error = s.product.meanPrice() - expected
	}
	return out
}
