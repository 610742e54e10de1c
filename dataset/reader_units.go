package dataset

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/dataset/internal/units"
)

// assumeUnits settles the unit of every measure whose header names none, and
// says so. Where all values carry their own unit nothing is assumed.
//
// The unit is the only one that puts the middle of the column where such parts
// lie. Where several do, it is that of a column measured with the same tool,
// else of the system most other headers are in. Where none does, it is the base
// unit.
func (p *pass) assumeUnits() {
	votes := map[units.System]int{}
	var open []*column
	for _, c := range p.columns {
		d, ok := c.dimension()
		if !ok {
			continue
		}
		choice := c.def.Kind.AssumedUnits() != nil
		switch {
		case c.given && choice:
			votes[c.unit.System]++
		case c.given:
		case !choice: // percent and µm go without saying
			c.unit = units.Base(d)
		case c.other == 0:
			c.unit = mostWritten(c.ownUnit, d)
		default:
			open = append(open, c)
		}
	}
	var unsettled []*column
	for _, c := range open {
		fitting, median := fits(c)
		switch len(fitting) {
		case 0:
			d, _ := c.dimension()
			p.assume(c, units.Base(d), Doubtful, median, "though no unit puts its values where such parts lie")
		case 1:
			votes[fitting[0].System]++
			p.assume(c, fitting[0], Note, median, "the only one that puts its values where such parts lie")
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
		if other := p.partner(c); other != nil && slices.Contains(fitting, other.unit) {
			p.assume(c, other.unit, Note, median, "as for "+other.name)
			continue
		}
		i := max(0, slices.IndexFunc(fitting, func(u units.Unit) bool { return u.System == system }))
		p.assume(c, fitting[i], Note, median, "as most of the log is "+map[units.System]string{units.Metric: "metric", units.US: "in inches and ounces"}[system])
	}
}

// assume sets a column's unit and reports it.
func (p *pass) assume(c *column, u units.Unit, s Severity, median float64, why string) {
	c.unit = u
	p.problem(Problem{Line: p.layout.line, Column: c.field + 1, Name: c.name, Text: c.header, Severity: s,
		Message: fmt.Sprintf("the header names no unit; %s is assumed, %s (middle value %g). Write it into the header: %s_%s",
			u.Symbol, why, median, c.name, strings.Replace(u.Symbol, "²", "2", 1))})
}

// partner returns a column with a settled unit that is measured with the same
// tool, nil for none.
func (p *pass) partner(c *column) *column {
	for _, def := range Recorded() {
		if other := p.column(def.Name); def.Tool == c.def.Tool && def.Tool != "" && other != nil && other.unit.Base != 0 {
			return other
		}
	}
	return nil
}

// fits returns the units under which the median of the cells without a unit of
// their own is usual for the column, and that median as written.
func fits(c *column) ([]units.Unit, float64) {
	d, _ := c.dimension()
	median := middleOf(c.num, c.own)
	span := c.def.Common
	var out []units.Unit
	for _, name := range c.def.Kind.AssumedUnits() {
		u, _ := units.Find(name, d)
		if b := median * u.Base; b >= span.Low && b <= span.High {
			out = append(out, u)
		}
	}
	return out, median
}

// mostWritten is the unit most cells carry; the base unit for an empty column.
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

// toBase carries every column to its base unit. Cells with a unit of their own
// are there already.
func (p *pass) toBase() {
	for _, c := range p.columns {
		if _, ok := c.dimension(); !ok || c.unit.Base == 1 {
			continue
		}
		own := c.own
		for row := range c.num {
			if len(own) > 0 && int(own[0]) == row {
				own = own[1:]
				continue
			}
			c.num[row] *= c.unit.Base
		}
		own = c.own
		for i := range c.repeats {
			r := &c.repeats[i]
			if _, found := slices.BinarySearch(own, int32(r.Row)); !found {
				r.SD *= c.unit.Base
			}
		}
	}
	if c := p.column(claimColumn); c != nil {
		p.fractions(c)
	}
}

// fractions reads an efficiency of 0.99 as 99 % where the whole column is
// written that way, as spreadsheets export cells formatted in percent.
func (p *pass) fractions(c *column) {
	n := 0
	for row, v := range c.num {
		if _, own := slices.BinarySearch(c.own, int32(row)); own || math.IsNaN(v) {
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
	for row := range c.num {
		if _, own := slices.BinarySearch(c.own, int32(row)); !own {
			c.num[row] *= 100
		}
	}
	c.percent = true
	p.problem(Problem{Line: p.layout.line, Column: c.field + 1, Name: c.name, Text: c.header, Severity: Note,
		Message: "no value is above 1; they are read as fractions of one, 0.99 as 99 %"})
}
