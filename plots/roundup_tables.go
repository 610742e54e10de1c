package plots

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/plots/page"
	"pleatstat/plots/words"
	"pleatstat/stats/roundup"
	"pleatstat/stats/trend"
)

// Ranking draws one of a roundup's tables: the year's products in order, each with
// its value, its 95 % range and the range of places that it may hold. Products
// that may hold the first place, and in tables ranked from both ends the last,
// stand out; in the table of prices, those clearly or probably off the usual
// price do. If the page cannot hold all products the first ones, or both ends, are
// shown and the rest counted.
//
// It returns ErrNothingToDraw for a table with too few products.
func Ranking(t roundup.Table, year int, s Source) (*Chart, error) {
	if t.TooFew || len(t.Places) == 0 {
		return nil, fmt.Errorf("ranking %s of too few products: %w", t.ID, ErrNothingToDraw)
	}
	s = s.withDefaults()
	v := rankingView{t: t, year: year, units: s.Units, last: twoEnds(t.ID)}
	s.Openings, s.From, s.To = t.Openings, year, year
	if t.ID == roundup.PriceForContents { // based on openings of all years
		s.Openings = 0
	}
	return &Chart{Title: v.title(), Subtitle: v.subtitle(), Source: s,
		counted: words.Figures(t.N, "product", "products"), legend: v.legend(), body: v.estimates().draw}, nil
}

// twoEnds reports whether both ends of a table are of interest.
func twoEnds(id string) bool {
	return id == roundup.CanGauge || id == roundup.PriceForContents || id == roundup.BestValue
}

type rankingView struct {
	t     roundup.Table
	year  int
	units words.Units
	last  bool
}

// words returns what the first and the last product of the table have, and the
// title of the axis.
func (v *rankingView) words() (first, last, axis string) {
	switch v.t.ID {
	case roundup.BestValue:
		return "the most media for the money", "the least", "price per media area"
	case roundup.PriceForContents:
		return "the dearest for its contents", "the cheapest", "price against what such contents usually cost"
	case roundup.CanGauge:
		return "the thickest can", "the thinnest", "can gauge, wall thickness"
	case roundup.MediaArea:
		return "the most media", "the least", "media area, one face"
	case roundup.PleatDepth:
		return "the deepest pleats", "the shallowest", "mean depth of a pleat"
	case roundup.MassForSize:
		return "the most mass for its size", "the least", "mass against others of its size"
	}
	return "first", "last", words.Of(v.t.Measure).Axis
}

// title names the products that may hold the first place and, in tables of two
// ends, the last; more than two are counted instead of named.
func (v *rankingView) title() string {
	first, last, _ := v.words()
	says := func(leaders []roundup.Place, what string) string {
		var names []string
		for _, l := range leaders {
			names = append(names, words.Name(l.Maker, l.Part))
		}
		switch n := len(names); {
		case n == 0:
			return ""
		case n > 2:
			return fmt.Sprintf("one of %s filters has %s", words.Count(n), what)
		}
		return strings.Join(names, " or ") + " has " + what
	}
	if v.t.ID == roundup.PriceForContents {
		return v.priceTitle()
	}
	title := says(v.t.Leaders(), first)
	if v.last {
		title = words.Joined(", ", title, says(v.t.Trailers(), last))
	}
	if title == "" || v.t.Noise.Source == "" {
		return fmt.Sprintf("How sure these places of %d are cannot be said yet", v.year)
	}
	return words.Sentence(title)
}

// priceTitle names the products clearly or probably off the usual price.
func (v *rankingView) priceTitle() string {
	var above, below []string
	for _, p := range v.t.Places {
		switch v.end(p) {
		case 1:
			above = append(above, words.Name(p.Maker, p.Part))
		case -1:
			below = append(below, words.Name(p.Maker, p.Part))
		}
	}
	slices.Reverse(below) // cheapest first
	return words.Sentence(cmp.Or(offUsual(above, below), fmt.Sprintf("no part opened in %d costs clearly more or less than its contents usually do", v.year)))
}

func (v *rankingView) subtitle() string {
	s := fmt.Sprintf("Parts opened in %d", v.year)
	if v.t.ID == roundup.MassForSize {
		s += fmt.Sprintf(", against what others of their size weigh (%s)", words.Figures(v.t.Fitted, "opening", "openings"))
	}
	s += ". Right: the value, and the places it may hold (95\u00a0%)."
	return s
}

func (v *rankingView) legend() []page.LegendItem {
	if v.t.ID == roundup.PriceForContents {
		var items []page.LegendItem
		for _, w := range []struct {
			end  int
			item page.LegendItem
		}{{1, lookItem("above", upLook)}, {-1, lookItem("below", downLook)}} {
			if slices.ContainsFunc(v.t.Places, func(p roundup.Place) bool { return v.end(p) == w.end }) {
				items = append(items, w.item)
			}
		}
		return append(items, lookItem("about the usual price", plainLook), rangeItem("95\u00a0% range of the distance"))
	}
	items := []page.LegendItem{lookItem("may be first", firstLook)}
	if v.last {
		items = append(items, lookItem("may be last", lastLook))
	}
	return append(items, lookItem("in between", plainLook), rangeItem("95\u00a0% range of the part's own mean"))
}

func (v *rankingView) estimates() *estimates {
	_, _, axisWords := v.words()
	out := &estimates{bothEnds: v.last}
	if v.t.Ratio {
		out.ratio, out.hasZero = true, true
		out.x = page.Axis{Log: true, K: 1, Title: axisWords}
	} else {
		scale := words.ScaleOf(v.t.Measure, v.units)
		out.x = page.Axis{K: scale.K, Title: scale.Title(axisWords)}
	}
	if v.t.Noise.Source == "" {
		out.note = "too few parts opened twice to say how sure the places are"
	}
	for _, p := range v.t.Places {
		e := estimate{label: words.Name(p.Maker, p.Part), value: p.Value, low: p.Low, high: p.High, from: math.NaN(), look: plainLook}
		first, last := firstLook, lastLook
		if v.t.ID == roundup.PriceForContents {
			first, last = upLook, downLook
		}
		switch v.end(p) {
		case 1:
			e.look, e.bold = first, true
		case -1:
			e.look, e.bold = last, true
		}
		value := v.say(p.Value)
		e.detail = value
		if places := ordinalRange(p.RankLow, p.RankHigh); places != "" {
			e.detail += " · " + places
		}
		e.hint = fmt.Sprintf("%s: %s, 95\u00a0%% range %s to %s, place %s of %d", e.label, value, v.say(p.Low), v.say(p.High),
			ordinalRange(p.RankLow, p.RankHigh), v.t.N)
		out.rows = append(out.rows, e)
	}
	return out
}

// end returns 1 for a product that stands out at the top of its table, -1 at the
// bottom, 0 otherwise. In the table of prices the verdict decides, elsewhere the
// places that the product may hold.
func (v *rankingView) end(p roundup.Place) int {
	switch {
	case v.t.ID == roundup.PriceForContents:
		if p.Verdict.Grade != trend.Clear && p.Verdict.Grade != trend.Probable {
			return 0
		}
		if p.Value > 1 {
			return 1
		}
		return -1
	case v.t.Noise.Source == "" || p.RankLow == 0:
	case p.RankLow == 1:
		return 1
	case v.last && p.RankHigh == v.t.N:
		return -1
	}
	return 0
}

func (v *rankingView) say(x float64) string {
	if v.t.Ratio {
		return words.Percent(x)
	}
	return words.Clean(v.units.Format(v.t.Measure, x))
}
