package roundup

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"pleatstat/stats/num"
	"pleatstat/stats/pool"
	"pleatstat/stats/trend"
)

// makerTables compares the makers by price for media area and by can gauge for
// the size of the can: residuals from a line over every opening up to the year
// (for prices with a yearly rise), averaged over the openings of a product, then
// over a maker's products.
func (b *bench) makerTables() []MakerTable {
	tables := []MakerTable{
		b.makerTable(MakerTable{ID: "price", Measure: "price", Relative: true, Against: "media_area"},
			logs(b.values("price")), true),
		b.makerTable(MakerTable{ID: "can-gauge", Measure: "can_gauge", Against: "can_surface"},
			b.values("can_gauge"), false),
	}
	namedMakers(tables)
	return tables
}

func (b *bench) makerTable(t MakerTable, response []float64, dated bool) MakerTable {
	t.Mean, t.Between, t.Within, t.Q, t.P = math.NaN(), math.NaN(), math.NaN(), math.NaN(), math.NaN()
	line, err := b.lineOn(response, dated, logs(b.values(t.Against)))
	if err != nil {
		t.TooFew, t.Needed = true, fmt.Sprintf("%d openings with both measures", fewestForLine)
		return t
	}
	t.Fitted = line.n
	return b.compareMakers(t, line.residual)
}

// compareMakers compares the makers by residuals, one per opening.
func (b *bench) compareMakers(t MakerTable, residual []float64) MakerTable {
	var rows []MakerRow
	var members [][]float64
	for _, p := range b.products { // sorted by maker
		m := b.meanOf(residual, p.openings, b.upToNow)
		if m.n == 0 || p.maker == "" {
			continue
		}
		k := len(rows) - 1
		if k < 0 || rows[k].Maker != p.maker {
			rows, members = append(rows, MakerRow{Maker: p.maker, Q: 1}), append(members, nil)
			k++
		}
		members[k] = append(members[k], m.value)
		rows[k].Products++
		rows[k].Openings += m.n
		rows[k].ThisYear += b.meanOf(residual, p.openings, b.thisYear).n
		t.Products++
	}
	c, err := pool.Compare(members, confidence)
	switch {
	case len(rows) < pool.Fewest:
		t.TooFew, t.Needed = true, fmt.Sprintf("%d makers", pool.Fewest)
		return t
	case err != nil:
		t.TooFew, t.Needed = true, fmt.Sprintf("%d products by these makers", len(rows)+pool.FewestWithin)
		return t
	}
	show := func(v float64) float64 {
		if t.Relative {
			return math.Expm1(v)
		}
		return v
	}
	t.Mean, t.Between, t.Within, t.Q, t.P = show(c.Mean), math.Sqrt(c.Between), math.Sqrt(c.Within), c.Q, c.P
	for i := range rows {
		r, g := &rows[i], c.Groups[i]
		r.Own, r.Pooled, r.Low, r.High = show(c.Own[i].Mean), show(g.Mean), show(c.Low[i]), show(c.High[i])
		r.Weight, r.P = g.Weight, c.OffP[i]
	}
	t.Rows = rows
	slices.SortStableFunc(t.Rows, func(a, b MakerRow) int {
		return cmp.Or(cmp.Compare(b.Pooled, a.Pooled), cmp.Compare(a.Maker, b.Maker))
	})
	return t
}

// clearMaker is the false discovery rate over makers that are reported as off a
// line.
const clearMaker = trend.FalseDiscoveryRate

// namedMakers decides which makers are reported as off a line. As in drift,
// makers are selected first over all tables (Benjamini and Hochberg on the
// smallest p of each times its number of tables; Bonferroni's bound, since
// Simes's needs positive dependence), then the tables within the selected makers
// at the remaining level (Benjamini and Bogomolov 2014, J. R. Statist. Soc. B 76,
// 297–318).
func namedMakers(tables []MakerTable) {
	rows := map[string][]*MakerRow{}
	var names []string
	for i := range tables {
		for k := range tables[i].Rows {
			r := &tables[i].Rows[k]
			if rows[r.Maker] == nil {
				names = append(names, r.Maker)
			}
			rows[r.Maker] = append(rows[r.Maker], r)
		}
	}
	slices.Sort(names)
	p := make([]float64, len(names))
	for i, name := range names {
		p[i] = 1
		for _, r := range rows[name] {
			p[i] = math.Min(p[i], r.P*float64(len(rows[name])))
		}
	}
	q, err := num.BenjaminiHochberg(p)
	if err != nil {
		return // an invalid p: no maker is named
	}
	selected := 0
	for _, v := range q {
		if v <= clearMaker {
			selected++
		}
	}
	factor := float64(len(names)) / float64(max(1, selected))
	for i, name := range names {
		for _, r := range rows[name] {
			r.Q = math.Min(1, math.Max(q[i], r.P*float64(len(rows[name]))*factor))
			if r.Q <= clearMaker {
				r.Side = 1
				if r.Own < 0 {
					r.Side = -1
				}
			}
		}
	}
}
