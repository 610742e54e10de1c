package main

import (
	"fmt"

	"pleatstat/cmd/pleatstat/internal/page"
	"pleatstat/cmd/pleatstat/internal/render/cards"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/plots"
	"pleatstat/stats/card"
	"pleatstat/stats/latest"
)

// shownHTML is a part's card or a maker's page as one file: the answer with the
// first chart, all that follows it, then the other charts.
func shownHTML(s shown, u dataset.Units, charts []namedChart, o chartOptions) ([]byte, error) {
	title := ""
	blocks := wording.Outline(func(t *wording.Text) {
		if s.part != nil {
			title = wording.Name(s.part.Maker, s.part.Part)
			cards.Part(t, s.part, u)
			return
		}
		title = wording.Name(s.maker.Maker, "")
		cards.Maker(t, s.maker, s.basis.Model.MoneyOf(), u)
	})
	sections := sectionsOf(blocks, nil)
	sections, err := withCharts(sections, len(sections), charts, o)
	if err != nil {
		return nil, err
	}
	return written(page.Page{Title: title, Dark: o.theme == string(plots.Dark), Sections: sections})
}

// latestHTML is what the newest openings showed as one file, each with its charts.
func latestHTML(b *card.Basis, l *latest.Latest, u dataset.Units, charts [][]namedChart, o chartOptions) ([]byte, error) {
	sections := sectionsOf(wording.Outline(func(t *wording.Text) { cards.Latest(t, l, b.Model.MoneyOf(), u) }), nil)
	const before = 1 // the section that says what is told
	for i, own := range charts {
		if i+before >= len(sections) {
			return nil, fmt.Errorf("the page has no section for opening %d", i+1)
		}
		s := &sections[i+before]
		for _, c := range own {
			drawn, err := bothShapes(c.chart, o.ringing(productOf(l.Openings[i])))
			if err != nil {
				return nil, err
			}
			s.Charts = append(s.Charts, drawn)
		}
	}
	return written(page.Page{Title: "The latest from the bench", Dark: o.theme == string(plots.Dark), Sections: sections})
}
