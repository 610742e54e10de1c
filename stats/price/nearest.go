package price

import (
	"cmp"
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats/imputation"
)

const (
	comparables = 5
	// leastWorth is the smallest weight of one standard deviation of a content in
	// the distance between products, in log price, so that contents that do not
	// move prices still distinguish two products.
	leastWorth = 0.02
)

// nearest returns the products whose contents are nearest to those of s. The
// distance is the root of the summed squared effects of the differences on log
// price, with the expected squared difference for missing values. Among the
// nearest, those with the same thread come first.
func (m *Model) nearest(s subject) []Comparable {
	coef := s.contents.Coef
	worth := make([]float64, len(s.filled))
	worth[0] = math.Max(math.Abs(coef[1])*m.coding.area.scale, leastWorth)
	for c := range m.coding.contents {
		worth[1+c] = math.Max(math.Abs(coef[2+m.time.Len()+c]), leastWorth)
	}
	type near struct {
		place    int
		distance float64
	}
	found := make([]near, 0, len(m.usable))
	own := openWorth(s.open, worth)
	open := make([]float64, len(m.imputed.Open))
	for k, o := range m.imputed.Open {
		open[k] = openWorth(o, worth)
	}
	for k := range m.usable {
		if k == s.place {
			continue
		}
		sum := own + open[m.imputed.Pattern[k]]
		for c, w := range worth {
			d := w * (s.filled[c] - m.imputed.X[k][c])
			sum += d * d
		}
		found = append(found, near{k, math.Sqrt(sum)})
	}
	slices.SortStableFunc(found, func(a, b near) int {
		return cmp.Or(cmp.Compare(a.distance, b.distance), m.byName(m.usable[a.place], m.usable[b.place]))
	})
	var same, others []Comparable
	mount := s.product.mount()
	for _, f := range found[:min(comparables, len(found))] {
		p := &m.products[m.usable[f.place]]
		c := Comparable{Maker: p.maker, Part: p.part, Price: math.Exp(p.last().log + m.carry(p.last().when)), MediaArea: math.Exp(p.area), Distance: f.distance, Mount: p.mount()}
		if c.SameThread = dataset.SameThread(c.Mount.Thread, mount.Thread); c.SameThread {
			same = append(same, c)
		} else {
			others = append(others, c)
		}
	}
	return append(same, others...)
}

// mount returns the most frequent entries of a product's openings on its
// mounting.
func (p *product) mount() Mount {
	most := func(column string) string {
		words := make([]string, len(p.rows))
		for i, row := range p.rows {
			words[i] = p.log.Word(row, column)
		}
		return commonWords(words, make([]int, len(words)), 1)[0]
	}
	return Mount{Thread: most("thread"), Bypass: most("bypass"), DrainBack: most("drain_back")}
}

// openWorth returns the expected squared effect of the missing values, from their
// conditional variances.
func openWorth(o imputation.Conditional, worth []float64) float64 {
	sum := 0.0
	for _, j := range o.Blank {
		sum += worth[j] * worth[j] * o.Spread.At(j, j)
	}
	return sum
}
