package compare

import (
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/num"
	"pleatstat/stats/panel"
	"pleatstat/stats/pool"
)

const (
	// fewestPairs is the least number of pairs of openings of one part from which
	// their scatter is estimated, and fewestParts the least number of degrees of
	// freedom (parts beyond one per maker) for the scatter between parts.
	fewestPairs = panel.FewestPairs
	fewestParts = 10
)

// scatter is how much the units of one subject differ in a column.
type scatter struct {
	sd, df   float64 // on the scale of the comparison; NaN where not known
	relative bool    // compared on the logarithm
	pairs    int
	sizes    []float64 // sizes of the differences, divided by their median
}

// proportional reports whether a column is compared on the log scale: masses,
// prices and what grows with the part's size; not gauges, counts and claims.
func proportional(column string) bool {
	c, ok := catalogue.LookUp(column)
	if !ok {
		return false
	}
	switch c.Kind {
	case catalogue.KindMass, catalogue.KindArea, catalogue.KindMoney, catalogue.KindNumber:
		return column != "beta_ratio"
	case catalogue.KindLength:
		return !slices.Contains([]string{"can_gauge", "base_plate_gauge", "implied_gauge", "media_thickness"}, column)
	}
	return false
}

// between returns the scatter of a column between openings of one part, over the
// whole log: see panel.SuccessiveScatter. A step made by a maker does not count
// as scatter.
func (l *ledger) between(column string) scatter {
	values := l.log.Floats(column)
	s := scatter{relative: proportional(column) && positive(values), sd: math.NaN()}
	pairs := panel.SuccessiveScatter(l.withoutSteps(column, l.series(values, s.relative)))
	if s.pairs = pairs.Pairs; s.pairs < fewestPairs {
		return s
	}
	s.sd, s.df = pairs.SD, pairs.DF
	step := l.log.Resolution(column)
	if s.relative {
		step /= num.Median(num.Finite(values))
	}
	s.sizes = pairs.TailSizes(step)
	return s
}

// withoutSteps cuts the series of the parts at the reported steps of a column.
func (l *ledger) withoutSteps(column string, parts []num.Series) []num.Series {
	var out []num.Series
	for k, whole := range parts {
		from := 0
		part := dataset.Label{Maker: l.log.Word(l.parts[k][0], "maker"), Part: l.log.Word(l.parts[k][0], "part")}
		for _, at := range l.stepsOf(part, column) {
			to, _ := slices.BinarySearch(whole.T, at)
			out = append(out, num.Series{T: whole.T[from:to], Y: whole.Y[from:to]})
			from = to
		}
		out = append(out, num.Series{T: whole.T[from:], Y: whole.Y[from:]})
	}
	return out
}

// betweenParts returns the scatter of a column between the parts of one maker,
// pooled over all makers: each part counts by its mean.
func (l *ledger) betweenParts(column string) scatter {
	values := l.values(column)
	s := scatter{relative: proportional(column) && positive(values), sd: math.NaN()}
	byMaker := map[string][]float64{}
	var makers []string
	for _, rows := range l.parts {
		var own []float64
		for _, row := range rows {
			if !math.IsNaN(values[row]) {
				own = append(own, s.scale(values[row]))
			}
		}
		if len(own) == 0 {
			continue
		}
		maker := l.log.Word(rows[0], "maker")
		if byMaker[maker] == nil {
			makers = append(makers, maker)
		}
		byMaker[maker] = append(byMaker[maker], num.Mean(own))
	}
	slices.Sort(makers)
	groups := make([][]float64, len(makers))
	for k, m := range makers {
		groups[k] = byMaker[m]
	}
	variance, df := pool.Within(groups)
	if s.pairs = int(df); df >= fewestParts && variance > 0 {
		s.sd, s.df = math.Sqrt(variance), df
	}
	return s
}

// scale transforms a value to the scale of the comparison.
func (s scatter) scale(v float64) float64 {
	if s.relative {
		return math.Log(v)
	}
	return v
}

func positive(values []float64) bool {
	return !slices.ContainsFunc(values, func(v float64) bool { return v <= 0 })
}

// scatters returns the scatter of every column of the log, and the degrees of
// freedom of its tails, estimated from all recorded columns together.
func (l *ledger) scatters(names []string, kind Kind) (map[string]scatter, float64) {
	out := map[string]scatter{}
	var sizes []float64
	for _, name := range names {
		if l.log.Floats(name) == nil {
			continue
		}
		if kind == OfMakers {
			out[name] = l.betweenParts(name)
			continue
		}
		out[name] = l.between(name)
		if c, ok := catalogue.LookUp(name); ok && !c.Derived {
			sizes = append(sizes, out[name].sizes...)
		}
	}
	return out, panel.TailDF(sizes)
}
