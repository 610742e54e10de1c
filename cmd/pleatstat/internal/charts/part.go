package charts

import (
	"slices"

	"pleatstat/cmd/pleatstat/internal/output"
	"pleatstat/plots"
	"pleatstat/stats/card"
	"pleatstat/stats/latest"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Part returns the charts of a part: how its usual price is made up, the price trend
// and each other trend that the part lies off, and the first of the changes that
// concern it.
func Part(b *card.Basis, c *card.Part) ([]Named, error) {
	source := SourceOf(b.Log)
	var s set
	s.add("usual-price")(plots.Contributions(c.Judgement, source))
	onArea, err := b.Model.Trend(false)
	if err != nil {
		return nil, err
	}
	s.add("trend-" + onArea.ID)(plots.Trend(onArea, b.Model.Flags(onArea), source))
	for _, t := range b.Trends {
		if slices.ContainsFunc(c.OffTrend, func(f trend.Flag) bool { return f.Trend == t.ID }) {
			s.add("trend-" + t.ID)(plots.Trend(t, b.Flags, source))
		}
	}
	if measures := measuresOf(c.Changes, everything); len(measures) > 0 { // the change is reported by the first
		s.add("drift-" + measures[0])(plots.DriftOf(c.Changes, measures[0], c.Part, source))
	}
	return s.charts, s.err
}

// Maker returns the charts of a maker: what it changed, and the prices of its parts.
func Maker(b *card.Basis, m *card.Maker) ([]Named, error) {
	source := SourceOf(b.Log)
	charts, err := Drift(m.Changes, source)
	s := set{charts, err}
	var own []price.Judgement
	for _, j := range b.Model.All() {
		if j.Maker == m.Maker {
			own = append(own, j)
		}
	}
	s.add("prices")(plots.Prices(own, source))
	return s.charts, s.err
}

// mostNumbered is how many openings get charts of their own: the names of the files
// number them with two digits.
const mostNumbered = 99

// Latest returns the charts of each opening, one list per opening; their Number is
// that of the opening.
func Latest(b *card.Basis, l *latest.Latest) ([][]Named, error) {
	var all [][]Named
	for i, opening := range l.Openings[:min(len(l.Openings), mostNumbered)] {
		charts, err := Part(b, opening.Card)
		if err != nil {
			return nil, err
		}
		for k := range charts {
			charts[k].Number = i + 1
		}
		all = append(all, charts)
	}
	return all, nil
}

// DrawLatest draws the charts of Latest, with the part of each opening ringed.
func DrawLatest(l *latest.Latest, charts [][]Named, o Options) ([]output.File, error) {
	var files []output.File
	for i, own := range charts {
		drawn, err := Draw(own, o.WithHighlight(l.Openings[i].Maker, l.Openings[i].Part))
		if err != nil {
			return nil, err
		}
		files = append(files, drawn...)
	}
	return files, nil
}
