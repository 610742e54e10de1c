package pages

import (
	"fmt"

	"pleatstat/cmd/pleatstat/internal/charts"
	"pleatstat/cmd/pleatstat/internal/page"
	"pleatstat/cmd/pleatstat/internal/render/cards"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/stats/card"
	"pleatstat/stats/latest"
)

// Card returns the page of a part or a maker: the answer with the first chart, the
// rest of what write writes, then the other charts.
func Card(title string, write func(*wording.Text), drawn []charts.Named, o charts.Options) ([]byte, error) {
	sections := sectionsOf(wording.Outline(write), nil)
	sections, err := withCharts(sections, len(sections), drawn, o)
	if err != nil {
		return nil, err
	}
	return written(page.Page{Title: title, Dark: o.Dark(), Sections: sections})
}

// Latest returns the page of the newest openings, each with its charts.
func Latest(b *card.Basis, l *latest.Latest, u dataset.Units, drawn [][]charts.Named, o charts.Options) ([]byte, error) {
	sections := sectionsOf(wording.Outline(func(t *wording.Text) { cards.Latest(t, l, b.Model.MoneyOf(), u) }), nil)
	const before = 1 // sections ahead of those of the openings
	for i, own := range drawn {
		if i+before >= len(sections) {
			return nil, fmt.Errorf("the page has no section for opening %d", i+1)
		}
		s := &sections[i+before]
		for _, c := range own {
			both, err := bothShapes(c.Chart, o.WithHighlight(l.Openings[i].Maker, l.Openings[i].Part))
			if err != nil {
				return nil, err
			}
			s.Charts = append(s.Charts, both)
		}
	}
	return written(page.Page{Title: "The latest from the bench", Dark: o.Dark(), Sections: sections})
}
