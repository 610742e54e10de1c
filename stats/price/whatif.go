package price

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats/trend"
)

// ValueError reports that a value given to WhatIf cannot be used.
type ValueError struct{ Column, Text, Message string }

func (e *ValueError) Error() string {
	return fmt.Sprintf("%s = %q: %s", e.Column, e.Text, e.Message)
}

// ErrNothingGiven reports that WhatIf was called without a value.
var ErrNothingGiven = errors.New("no value given: want a price or contents, such as price=8.99")

// WhatIf judges a part that is not in the log. Keys are column names as in the
// header of a log; values are read like a cell of the log, in the column's unit
// in the log unless they state their own. Only the media area is required;
// without a price the judgement gives the usual price. A price is one of the date
// given, or of the log's last opening if no date is given.
//
// Where maker and part name a product of the log, values that are not given are
// taken from it, and the fit leaves it out: with only a price, WhatIf judges the
// same part at another price.
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
	if i >= 0 && m.crossValidated != nil && m.place[i] >= 0 && onlyPrice(values) { // the usual price stays the same
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

// unnamed replaces a missing maker or part number.
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

// WhatIfLog judges the products of another log against this one, in their order
// of first appearance there. The fit leaves out a product of the same name.
// Prices are taken to be in this log's currency. Unusable cells are reported
// among the warnings.
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
		if !math.IsNaN(p.last().when) { // an undated price counts as one of the last opening
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

// weighNew returns the evidence on a price as if the part were in the log, in
// place of product `same` if that is not -1.
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

// beyond warns that a log media area lies outside those of the log, so that the
// line is extrapolated.
func (m *Model) beyond(area float64) []string {
	least, most := m.areas[0], m.areas[len(m.areas)-1]
	if area >= least-areaSlack && area <= most+areaSlack {
		return nil
	}
	say := func(v float64) string { return m.log.Units().Format("media_area", math.Exp(v)) }
	return []string{fmt.Sprintf("a media area of %s lies beyond all of the log (%s to %s): what is usual there is a guess from the others",
		say(area), say(least), say(most))}
}

// outermost warns that a part of the log has less or more media than all the
// others by which it is judged.
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

// areaSlack is how far outside the other areas, on the log scale, an area may lie
// without a warning.
const areaSlack = 0.05
