package latest

import (
	"cmp"
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/card"
	"pleatstat/stats/check"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Weights of news items: the larger, the earlier in the list.
const (
	weighsSure    = 100 // a price clearly or probably off, another filter, a clear difference
	weighsChange  = 70  // the maker's change
	weighsTrend   = 60
	weighsHint    = 50
	weighsPlace   = 45 // minus the distance from the end of the ranking
	weighsSlip    = 40
	weighsPlain   = 30 // a price as expected
	weighsFirst   = 20
	weighsMissing = 10
)

// A place is reported within maxFromEnd of either end of a ranking of at least
// fewestRanked parts; at most mostPlaces are.
const (
	maxFromEnd   = 3
	fewestRanked = 6
	mostPlaces   = 2
)

// openingNews collects the news of one opening.
func openingNews(b *card.Basis, row int) (Opening, error) {
	p := card.ProductOf(b.Log, row)
	c, err := b.OfPart(p, card.Room{})
	if err != nil {
		return Opening{}, err
	}
	o := Opening{Maker: p.Maker, Part: p.Part, Line: b.Log.Line(row), Opened: b.Log.OpenedText(row), Verdict: c.Verdict, Card: c}
	o.Before, o.First = standing(b.Log, row)
	for i := range c.Openings {
		if c.Openings[i].Line != o.Line {
			continue
		}
		for k, column := range c.Measures {
			if v := c.Openings[i].Values[k]; !math.IsNaN(v) {
				o.Measures, o.Values = append(o.Measures, column), append(o.Values, v)
			}
		}
	}
	news := []News{{Kind: Price, Grade: c.Verdict.Grade, weight: priceWeight(c.Verdict)}}
	against, err := earlier(b, c, row, o)
	if err != nil {
		return Opening{}, err
	}
	news = append(news, against...)
	if len(c.Changes) > 0 {
		news = append(news, News{Kind: Change, Changes: c.Changes, weight: weighsChange})
	}
	if i := slices.IndexFunc(c.OffTrend, func(f trend.Flag) bool { return slices.Contains(f.Lines, o.Line) }); i >= 0 {
		f := c.OffTrend[i]
		weight := float64(weighsTrend)
		if f.Grade == trend.Hint {
			weight = weighsHint
		}
		news = append(news, News{Kind: OffTrend, Grade: f.Grade, OffTrend: &f, weight: weight})
	}
	news = append(news, places(b.Log, row, c.Places)...)
	news = append(news, slips(b, c, row)...)
	if missing := missing(b, c, row); missing != nil {
		news = append(news, *missing)
	}
	slices.SortStableFunc(news, func(a, b News) int { return cmp.Compare(b.weight, a.weight) })
	o.News = news[:min(len(news), MostNews)]
	return o, nil
}

func priceWeight(v price.Verdict) float64 {
	switch v.Grade {
	case trend.Clear, trend.Probable:
		return weighsSure
	case trend.Hint:
		return weighsHint
	}
	return weighsPlain
}

// standing returns how many openings of its part came before a row, and what the
// row is the first opening of.
func standing(log *dataset.Log, row int) (before int, first First) {
	when := log.Floats("opened")
	// An undated opening is ordered by its row.
	earlier := func(other int) bool {
		if when == nil || math.IsNaN(when[row]) || math.IsNaN(when[other]) {
			return other < row
		}
		return when[other] < when[row] || when[other] == when[row] && other < row
	}
	own := card.ProductOf(log, row)
	any, ofMaker := 0, 0
	for other := range log.Rows() {
		if other == row || !earlier(other) {
			continue
		}
		any++
		if p := card.ProductOf(log, other); p.Maker == own.Maker {
			ofMaker++
			if p == own {
				before++
			}
		}
	}
	switch {
	case any == 0:
		first = OfLog
	case ofMaker == 0:
		first = OfMaker
	case before == 0:
		first = OfPart
	}
	return before, first
}

// earlier compares an opening with those of the same part before it.
func earlier(b *card.Basis, c *card.Part, row int, o Opening) ([]News, error) {
	if o.First != Again {
		return []News{{Kind: FirstOf, weight: weighsFirst}}, nil
	}
	if a := c.Another; a != nil && a.Line == o.Line {
		return []News{{Kind: Another, Another: a, weight: weighsSure + 1}}, nil
	}
	all, words, err := b.Against(row)
	if err != nil {
		return nil, err
	}
	n := News{Kind: Steady, Compared: len(all), weight: weighsFirst}
	for _, grade := range []trend.Grade{trend.Clear, trend.Hint} {
		for _, m := range all {
			if m.Grade == grade {
				n.Moved = append(n.Moved, m)
			}
		}
		if n.Moved != nil {
			n.Kind, n.Grade = Earlier, grade
			n.weight = map[trend.Grade]float64{trend.Clear: weighsSure, trend.Hint: weighsHint}[grade]
			break
		}
	}
	out := []News{n}
	if words != nil {
		out = append(out, News{Kind: Reworded, Words: words, weight: weighsHint})
	}
	return out, nil
}

// places selects the places to report: those nearest to either end, each ranking
// once, rankings of all parts before those of one thread. A place in a measure
// that this opening lacks is not news of it.
func places(log *dataset.Log, row int, all []card.Place) []News {
	fromEnd := func(p card.Place) int { return min(p.Rank, p.Of+1-p.Rank) }
	var found []card.Place
	for _, p := range all {
		if !measured(log, row, p) {
			continue
		}
		same := func(q card.Place) bool { return q.Ranking == p.Ranking }
		if p.Of >= fewestRanked && fromEnd(p) <= maxFromEnd && !slices.ContainsFunc(found, same) {
			found = append(found, p)
		}
	}
	slices.SortStableFunc(found, func(a, b card.Place) int { return cmp.Compare(fromEnd(a), fromEnd(b)) })
	var out []News
	for _, p := range found[:min(len(found), mostPlaces)] {
		out = append(out, News{Kind: Place, Place: &p, weight: weighsPlace - float64(fromEnd(p))})
	}
	return out
}

// measured reports whether an opening has the reading that a place is based on.
func measured(log *dataset.Log, row int, p card.Place) bool {
	column := p.Measure
	if column == "" { // mass for size
		column = "total_mass"
	}
	values := log.Floats(column)
	return values != nil && !math.IsNaN(values[row])
}

// slips returns news of the doubtful readings of an opening.
func slips(b *card.Basis, c *card.Part, row int) []News {
	line := b.Log.Line(row)
	var out []News
	reported := map[string]bool{}
	for _, s := range c.Slips {
		if s.Line == line {
			reported[s.Name] = true
			out = append(out, News{Kind: Slip, Slip: &check.Suggestion{File: s.File, Line: s.Line, Column: s.Column, Name: s.Name,
				Found: s.Found, Intended: s.Intended, Why: s.Why, Kind: s.Kind, Sure: s.Sure}, weight: weighsSlip})
		}
	}
	for _, p := range b.Doubtful(row) {
		if !reported[p.Name] {
			out = append(out, News{Kind: Slip, Doubt: &p, weight: weighsSlip})
		}
	}
	return out
}

// mostMissing is the largest number of missing columns reported.
const mostMissing = 2

// usefulColumns are the recorded columns that most findings need, most useful first.
var usefulColumns = []string{"price", "media_length", "element_width", "can_gauge", "pleats", "total_mass", "can_mass", "media_mass", "thread"}

// missing reports the most useful measures that an opening lacks: what its price
// verdict needs, else what its maker is changing, else what other openings of the
// part have, else what most findings need.
func missing(b *card.Basis, c *card.Part, row int) *News {
	blank := func(column string) bool {
		_, there := b.Log.Cell(row, column)
		return !there
	}
	var verdict, change, before, rest []string
	if c.Verdict.Grade == trend.CannotSay && b.Model.Judges() {
		if math.IsNaN(c.Verdict.Price) && blank("price") {
			verdict = append(verdict, "price")
		}
		if areas := b.Log.Floats("media_area"); areas == nil || math.IsNaN(areas[row]) {
			for _, column := range []string{"media_length", "element_width"} {
				if blank(column) {
					verdict = append(verdict, column)
				}
			}
		}
	}
	for _, column := range usefulColumns {
		if !blank(column) {
			continue
		}
		moves := func(e drift.Entry) bool {
			return e.Measure == column || slices.Contains(catalogue.Inputs(e.Measure), column)
		}
		switch has := b.Log.Floats(column); {
		case slices.ContainsFunc(c.Changes, moves):
			change = append(change, column)
		case has != nil && earlierHas(b, c, row, has):
			before = append(before, column)
		default:
			rest = append(rest, column)
		}
	}
	for _, m := range []struct {
		columns []string
		why     string
	}{{verdict, WhyPrice}, {change, WhyChange}, {before, WhyEarlier}, {rest, WhyPlace}} {
		if m.columns != nil {
			return &News{Kind: Missing, Missing: m.columns[:min(len(m.columns), mostMissing)], Why: m.why, weight: weighsMissing}
		}
	}
	return nil
}

// earlierHas reports whether another opening of the part has a value in a column.
func earlierHas(b *card.Basis, c *card.Part, row int, values []float64) bool {
	for other := range values {
		if other != row && !math.IsNaN(values[other]) && card.ProductOf(b.Log, other) == (price.Product{Maker: c.Maker, Part: c.Part}) {
			return true
		}
	}
	return false
}
