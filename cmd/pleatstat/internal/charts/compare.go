package charts

import (
	"cmp"
	"slices"
	"strings"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/plots"
	"pleatstat/stats/compare"
	"pleatstat/stats/price"
)

// mostDrawn is how many measures fit on a chart. mainMeasures are chosen before all
// others, in this order.
const mostDrawn = 10

var mainMeasures = []string{"price", "price_per_area", "media_area", "pleats", "media_mass", "can_gauge", "can_mass", "base_plate_gauge", "inlet_open_area", "total_mass"}

// Compare returns the chart of a comparison over a log; its number of openings counts
// only those compared.
func Compare(c *compare.Comparison, log *dataset.Log) (*plots.Chart, error) {
	s := plots.Source{File: log.File(), Where: log.Selection().Conditions, Units: log.Units()}
	for _, p := range c.Products {
		s.Openings += p.Openings
	}
	return plots.Compare(compareTable(c, log.Units()), s)
}

// compareTable returns the rows of the chart: the main measures of the comparison,
// then others while there is room, ordered by group.
func compareTable(c *compare.Comparison, u dataset.Units) plots.CompareTable {
	table := plots.CompareTable{Between: "openings of one part", More: max(0, len(c.Measures)-mostDrawn)}
	if c.Kind == compare.OfMakers {
		table.Between = "parts of one maker"
	}
	for k, p := range c.Products {
		name := strings.TrimSpace(price.Product{Maker: p.Maker, Part: p.Part}.String())
		switch {
		case p.When != "" && k > 0: // the same part at another time
			name = "in " + p.When
		case p.When != "":
			name += " in " + p.When
		}
		table.Parts = append(table.Parts, name)
	}
	place := func(m compare.Measure) int {
		if i := slices.Index(mainMeasures, m.Column); i >= 0 {
			return i
		}
		return len(mainMeasures)
	}
	group := func(m compare.Measure) int { return slices.Index(compare.Groups(), m.Group) }
	measures := slices.Clone(c.Measures)
	slices.SortStableFunc(measures, func(a, b compare.Measure) int { return cmp.Compare(place(a), place(b)) })
	measures = measures[:min(len(measures), mostDrawn)]
	slices.SortStableFunc(measures, func(a, b compare.Measure) int { return cmp.Compare(group(a), group(b)) })
	for _, m := range measures {
		row := plots.CompareRow{Name: catalogue.Words(m.Column), Group: string(m.Group)}
		for _, v := range m.Values {
			row.Values = append(row.Values, v.Mean)
			text := u.Format(m.Column, v.Mean)
			if money, per, long := strings.Cut(text, " per "); long { // stated once, in the name
				text, row.Name = money, "price per "+per
			}
			row.Text = append(row.Text, text)
		}
		for _, d := range m.Differences {
			row.Beyond = row.Beyond || d.Beyond
		}
		table.Rows = append(table.Rows, row)
	}
	return table
}
