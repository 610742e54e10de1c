package roundup

import (
	"math"

	"pleatstat/stats/price"
)

// seldom is the share of the year's openings below which a measure that a finding
// needs is reported as measured too seldom.
const seldom = 0.5

// needed lists the measures that findings need.
var needed = []struct{ measure, finding string }{
	{"price", "value and prices"},
	{"media_area", "value and prices"},
	{"can_gauge", "thickest and thinnest cans"},
	{"pleat_depth", "depth of pleats"},
	{"total_mass", "mass for size"},
	{"can_surface", "mass for size, size classes"},
	{"can_mass", "can gauge against mass"},
	{"media_mass", "grammage"},
}

// gaps lists what could not be judged, and what was measured in fewer than
// `seldom` of the year's openings.
func (b *bench) gaps(r *Roundup) []Gap {
	var out []Gap
	for _, t := range r.Tables {
		if t.ID == PriceForContents && r.Usable < price.LeastProducts {
			out = append(out, Gap{Subject: GapRanking, Measure: t.ID, Have: r.Usable, Need: price.LeastProducts, Unit: "products of the log"})
		} else if t.TooFew {
			out = append(out, Gap{Subject: GapRanking, Measure: t.ID, Have: t.N, Need: t.Needed, Unit: "products of the year"})
		} else if t.Noise.Source != "openings" && t.Noise.Pairs < FewestPairs {
			out = append(out, Gap{Subject: GapSure, Measure: t.ID, Have: t.Noise.Pairs, Need: FewestPairs, Unit: "pairs of openings of one part"})
		}
	}
	for _, s := range r.Shifts {
		if !s.TooFew {
			continue
		}
		g := Gap{Subject: GapShift, Measure: s.Measure, Detail: s.Group, Have: min(s.Before, s.Now), Need: s.Needed, Unit: "openings in the year that has fewer"}
		if s.Group == SameProducts {
			g.Have, g.Unit = s.Products, "products opened in both years"
		}
		if s.Group == OpenedAgain {
			g.Have, g.Unit = s.Products, "products opened this year and earlier"
		}
		out = append(out, g)
	}
	for _, m := range needed {
		values := b.values(m.measure)
		have := 0
		for i, o := range b.rows {
			if b.thisYear(o) && !math.IsNaN(values[i]) {
				have++
			}
		}
		if want := int(math.Ceil(seldom * float64(r.Opened.Openings))); have < want {
			out = append(out, Gap{Subject: GapMeasured, Measure: m.measure, Detail: m.finding, Have: have, Need: want, Unit: "openings of the year"})
		}
	}
	return out
}
