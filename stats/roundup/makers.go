package roundup

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
	"pleatstat/stats/trend"
)

// fewestWithin degrees of freedom tell how much the products of one maker
// differ: with five a standard deviation is known within a factor of about two.
const fewestWithin = 5

// makerTables are the makers by price for media area and by can gauge for the
// size of the can: residuals from a line over every opening up to the
// year (price: with its yearly rise), their mean over the openings of a
// product, then over a maker's products.
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
	few := func(needed string) MakerTable {
		t.TooFew, t.Needed = true, needed
		return t
	}
	line, err := b.lineOn(response, dated, logs(b.values(t.Against)))
	if err != nil {
		return few(fmt.Sprintf("%d openings with both measures", fewestForLine))
	}
	t.Fitted = line.n
	return b.makersApart(t, line.residual)
}

// makersApart compares the makers by residuals, one an opening.
func (b *bench) makersApart(t MakerTable, residual []float64) MakerTable {
	few := func(needed string) MakerTable {
		t.TooFew, t.Needed = true, needed
		return t
	}
	means := map[string][]float64{}
	openings, recent := map[string]int{}, map[string]int{}
	var names []string
	for _, p := range b.products { // in order of maker
		mean, n, _ := b.meanOf(residual, p.openings, b.upToNow)
		if n == 0 || p.maker == "" {
			continue
		}
		if len(means[p.maker]) == 0 {
			names = append(names, p.maker)
		}
		means[p.maker] = append(means[p.maker], mean)
		openings[p.maker] += n
		_, n, _ = b.meanOf(residual, p.openings, b.thisYear)
		recent[p.maker] += n
		t.Products++
	}
	var squares float64
	for _, name := range names {
		m := average(means[name])
		for _, v := range means[name] {
			squares += (v - m) * (v - m)
		}
	}
	df := t.Products - len(names)
	if len(names) < fewestGroups {
		return few(fmt.Sprintf("%d makers", fewestGroups))
	}
	if df < fewestWithin || squares == 0 {
		return few(fmt.Sprintf("%d products by these makers", len(names)+fewestWithin))
	}
	within := squares / float64(df)
	groups := make([]Group, len(names))
	for i, name := range names {
		groups[i] = Group{Mean: average(means[name]), Variance: within / float64(len(means[name]))}
	}
	pooled, err := Pool(groups)
	if err != nil {
		return few(fmt.Sprintf("%d makers", fewestGroups))
	}
	t.Mean, t.Between, t.Within = pooled.Mean, math.Sqrt(pooled.Between), math.Sqrt(within)
	// The variance within makers is estimated: F instead of chi-squared.
	t.Q = pooled.Q
	k := float64(len(names) - 1)
	t.P = distuv.F{D1: k, D2: float64(df)}.Survival(pooled.Q / k)
	half := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}.Quantile((1 + confidence) / 2)
	show := func(v float64) float64 {
		if t.Relative {
			return math.Expm1(v)
		}
		return v
	}
	for i, name := range names {
		g := pooled.Groups[i]
		// Off both the line and the middle of the makers, which part where a few
		// products lie far off.
		sd := math.Sqrt(groups[i].Variance)
		p := math.Max(num.StudentP(groups[i].Mean, sd, float64(df)), num.StudentP(groups[i].Mean-pooled.Mean, sd, float64(df)))
		if groups[i].Mean*(groups[i].Mean-pooled.Mean) < 0 { // between the two
			p = 1
		}
		t.Rows = append(t.Rows, MakerRow{Maker: name, Products: len(means[name]), Openings: openings[name], ThisYear: recent[name],
			Own: show(groups[i].Mean), Pooled: show(g.Mean), Low: show(g.Mean - half*g.SD), High: show(g.Mean + half*g.SD),
			Weight: g.Weight, P: p, Q: 1})
	}
	t.Mean = show(t.Mean)
	slices.SortStableFunc(t.Rows, func(a, b MakerRow) int {
		return cmp.Or(cmp.Compare(b.Pooled, a.Pooled), cmp.Compare(a.Maker, b.Maker))
	})
	return t
}

// clearMaker is the false discovery rate over makers that are told as off a
// line.
const clearMaker = trend.FalseDiscoveryRate

// namedMakers says which makers are surely off a line. The unit is the maker, as
// in drift: makers are selected over all tables first (Benjamini and Hochberg
// on the smallest p of each times its number, Bonferroni's, as Simes's needs
// positive dependence), then the tables within the selected at the level that
// leaves (Benjamini and Bogomolov 2014, J. R. Statist. Soc. B 76, 297–318).
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
		return // a p that is none: nobody is named
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

func average(x []float64) float64 {
	var sum float64
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}
