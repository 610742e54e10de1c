package price

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats/trend"
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
// usual. A price is one of the date given, or without a date of the log's last
// opening.
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
	j := judged[0]
	if i >= 0 && m.crossValidated != nil && m.place[i] >= 0 && onlyPrice(values) { // the same usual price
		s := m.subject(m.place[i])
		s.log = math.Log(j.Price)
		area, inside, err := m.weighNew(s, m.place[i])
		if err != nil {
			return Judgement{}, err
		}
		paid := j.Verdict
		j = m.weigh(s, area, inside)
		j.Paid, j.PriceDate = paid.Paid, paid.PriceDate
		j.Comparables, j.Mount = m.nearest(s), s.product.mount()
		j.Warnings = append(j.Warnings, m.warnings...)
	}
	j.Maker, j.Part, j.N, j.Lines = values["maker"], values["part"], 0, nil
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
	return slices.IndexFunc(m.products, func(p product) bool { return part != "" && p.named(maker, part) })
}

// WhatIfLog judges the products of another log against this one, in the order
// in which they appear there. A product of the same name takes no part in the
// fit. Prices are taken to be in this log's currency. Cells that do not count are
// told among the warnings.
func (m *Model) WhatIfLog(rows *dataset.Log) ([]Judgement, error) {
	products := gather(rows, m.claimedAt)
	out := make([]Judgement, len(products))
	notes := unread(rows)
	for k := range products {
		var err error
		if out[k], err = m.judgeNew(&products[k]); err != nil {
			return nil, err
		}
		out[k].Warnings = append(notes[k], out[k].Warnings...)
	}
	return out, nil
}

func (m *Model) judgeNew(p *product) (Judgement, error) {
	if m.crossValidated == nil || math.IsNaN(p.area) {
		j := blank(p.maker, p.part)
		if len(p.purchases) > 0 {
			j.Price = math.Exp(p.last().log)
		}
		if m.crossValidated == nil {
			j.Needed, j.Why = LeastProducts, m.needs()
		} else {
			j.Why = "not judged: no media area is given"
		}
		j.Warnings = []string{j.Why}
		return j, nil
	}
	same := -1
	if i := m.find(p.maker, p.part); i >= 0 {
		same = m.place[i]
	}
	s := subject{product: p, x: m.coding.row(*p), place: -1, log: math.NaN()}
	s.open, s.filled = m.imputed.Fill(s.x)
	if len(p.purchases) > 0 {
		s.log = p.last().log
		if !math.IsNaN(p.last().when) { // without a date it is one of today
			s.log += m.carry(p.last().when)
		}
	}
	var err error
	s.contents, err = m.market.Judge(p.area-m.coding.area.centre, s.filled[1:1+m.coding.contents], m.contentsOf(s.open.Spread), same)
	if err != nil {
		return Judgement{}, err
	}
	area, inside, err := m.weighNew(s, same)
	if err != nil {
		return Judgement{}, err
	}
	j := m.weigh(s, area, inside)
	j.Comparables, j.Mount = m.nearest(s), s.product.mount()
	j.Warnings = append(append(j.Warnings, m.beyond(p.area)...), m.warnings...)
	return j, nil
}

// weighNew is the evidence on a price as it would be if the part stood in the log,
// in the place of one of its products where it is one.
func (m *Model) weighNew(s subject, same int) (area, inside trend.Evidence, err error) {
	inside = m.againstContents(s)
	area = noEvidence()
	if m.trend.TooFew {
		return area, inside, nil
	}
	points := slices.Clone(m.trend.Points)
	tails := []trend.Tail{inside.Tail}
	for k, e := range m.contents {
		if k != same {
			tails = append(tails, e.Tail)
		}
	}
	if same >= 0 {
		points = slices.Delete(points, m.point[same], m.point[same]+1)
	}
	if math.IsNaN(s.log) {
		return area, inside, nil
	}
	trend.Correct(tails)
	inside.Tail = tails[0]
	points = append(points, trend.Point{X: math.Exp(s.product.area), Y: math.Exp(s.log), N: 1, Kept: true, Lines: []int{0}})
	t, err := trend.FitPoints(m.log, OnArea, points, nil, trend.Options{Seed: m.options.Seed})
	if err != nil || t.TooFew {
		return area, inside, err
	}
	return t.Evidence(len(points) - 1), inside, nil
}

// beyond says that a media area (its log) lies beyond those of the log, where the
// line is only extended.
func (m *Model) beyond(area float64) []string {
	least, most := m.areas[0], m.areas[len(m.areas)-1]
	if area >= least-areaSlack && area <= most+areaSlack {
		return nil
	}
	say := func(v float64) string { return m.log.Units().Format("media_area", math.Exp(v)) }
	return []string{fmt.Sprintf("a media area of %s lies beyond all of the log (%s to %s): what is usual there is a guess from the others",
		say(area), say(least), say(most))}
}

// outermost says that a part of the log has less or more media than all others,
// by which it is judged.
func (m *Model) outermost(s subject) []string {
	n := len(m.areas)
	if n < 2 || s.product.area >= m.areas[1]-areaSlack && s.product.area <= m.areas[n-2]+areaSlack {
		return nil
	}
	which := "least"
	if s.product.area > m.areas[1] {
		which = "most"
	}
	return []string{fmt.Sprintf("it has the %s media area of the log (%s): what is usual there is a guess from the others",
		which, m.log.Units().Format("media_area", math.Exp(s.product.area)))}
}

// areaSlack is how far beyond the log's, in its logarithm, an area is no news.
const areaSlack = 0.05
