package reader

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cells"
	"pleatstat/dataset/internal/problem"
	"pleatstat/dataset/internal/units"
)

// assumeUnits chooses the unit of every measure whose header names none, and
// reports it. If all values state their own unit, nothing is assumed.
//
// The unit chosen is the only one that puts the median of the column into its
// usual range. If several do, it is that of a column measured with the same
// tool, else of the system used by most other headers. If none does, it is the
// base unit.
func (p *Pass) assumeUnits() {
	votes := map[units.System]int{}
	var open []*cells.Column
	for _, c := range p.Columns {
		d, ok := c.Dimension()
		if !ok {
			continue
		}
		choice := c.Def.Kind.AssumedUnits() != nil
		switch {
		case c.Given && choice:
			votes[c.Unit.System]++
		case c.Given:
		case !choice: // only one unit is possible: percent, µm
			c.Unit = units.Base(d)
		case c.Other == 0:
			c.Unit = mostWritten(c.OwnUnit, d)
		default:
			open = append(open, c)
		}
	}
	var unsettled []*cells.Column
	for _, c := range open {
		fitting, median := fits(c)
		switch len(fitting) {
		case 0:
			d, _ := c.Dimension()
			p.assume(c, units.Base(d), problem.Doubtful, median, "though no unit puts its values where such parts lie")
		case 1:
			votes[fitting[0].System]++
			p.assume(c, fitting[0], problem.Note, median, "the only one that puts its values where such parts lie")
		default:
			unsettled = append(unsettled, c)
		}
	}
	system := units.Metric
	if votes[units.US] > votes[units.Metric] {
		system = units.US
	}
	for _, c := range unsettled {
		fitting, median := fits(c)
		if other := p.partner(c); other != nil && slices.Contains(fitting, other.Unit) {
			p.assume(c, other.Unit, problem.Note, median, "as for "+other.Name)
			continue
		}
		i := max(0, slices.IndexFunc(fitting, func(u units.Unit) bool { return u.System == system }))
		p.assume(c, fitting[i], problem.Note, median, "as most of the log is "+map[units.System]string{units.Metric: "metric", units.US: "in inches and ounces"}[system])
	}
}

// assume sets a column's unit and reports it.
func (p *Pass) assume(c *cells.Column, u units.Unit, s problem.Severity, median float64, why string) {
	c.Unit = u
	p.reportHeader(c, s, fmt.Sprintf("the header names no unit; %s is assumed, %s (middle value %g). Write it into the header: %s_%s",
		u.Symbol, why, median, c.Name, strings.Replace(u.Symbol, "²", "2", 1)))
}

// partner returns a column with a known unit from the same Tool group, nil if
// there is none.
func (p *Pass) partner(c *cells.Column) *cells.Column {
	for def := range catalogue.Recorded() {
		if other := p.column(def.Name); def.Tool == c.Def.Tool && def.Tool != "" && other != nil && other.Unit.Base != 0 {
			return other
		}
	}
	return nil
}

// fits returns the units in which the median of the cells without their own
// unit lies in the column's usual range, and that median as written.
func fits(c *cells.Column) ([]units.Unit, float64) {
	d, _ := c.Dimension()
	median := cells.Median(c.Num, c.Own)
	span := c.Def.Common
	var out []units.Unit
	for _, name := range c.Def.Kind.AssumedUnits() {
		u, _ := units.Find(name, d)
		if b := median * u.Base; b >= span.Low && b <= span.High {
			out = append(out, u)
		}
	}
	return out, median
}

// mostWritten returns the unit stated by most cells, or the base unit for an
// empty column.
func mostWritten(count map[string]int, d units.Dimension) units.Unit {
	best, n := units.Base(d), 0
	names := make([]string, 0, len(count))
	for name := range count {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		if count[name] > n {
			best, _ = units.Find(name, d)
			n = count[name]
		}
	}
	return best
}

// toBase converts every column to its base unit. Cells with a unit of their own
// are already converted.
func (p *Pass) toBase() {
	for _, c := range p.Columns {
		if _, ok := c.Dimension(); !ok || c.Unit.Base == 1 {
			continue
		}
		own := c.Own
		for row := range c.Num {
			if len(own) > 0 && int(own[0]) == row {
				own = own[1:]
				continue
			}
			c.Num[row] *= c.Unit.Base
		}
		own = c.Own
		for i := range c.Repeats {
			r := &c.Repeats[i]
			if _, found := slices.BinarySearch(own, int32(r.Row)); !found {
				r.SD *= c.Unit.Base
			}
		}
	}
	if c := p.column(catalogue.ClaimColumn); c != nil {
		p.fractions(c)
	}
}

// fractions reads an efficiency of 0.99 as 99 % if the whole column is written
// that way, as spreadsheets export cells formatted as percentages.
func (p *Pass) fractions(c *cells.Column) {
	n := 0
	for row, v := range c.Num {
		if _, own := slices.BinarySearch(c.Own, int32(row)); own || math.IsNaN(v) {
			continue
		}
		if v > 1 || v < 0 {
			return
		}
		n++
	}
	if n == 0 {
		return
	}
	for row := range c.Num {
		if _, own := slices.BinarySearch(c.Own, int32(row)); !own {
			c.Num[row] *= 100
		}
	}
	c.Percent = true
	p.reportHeader(c, problem.Note, "no value is above 1; they are read as fractions of one, 0.99 as 99 %")
}
