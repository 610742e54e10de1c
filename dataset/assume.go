package dataset

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/dataset/internal/units"
)

// candidates are the units a header without one may mean.
var candidates = map[Kind][]string{
	KindLength: {"mm", "in", "cm", "thou"},
	KindMass:   {"g", "oz", "kg", "lb"},
	KindArea:   {"cm²", "in²", "m²"},

	KindPressure: {"bar", "psi", "kPa"},
	KindFlow:     {"L/min", "gal/min"},
}

// assumeUnits settles the unit of every measure whose header names none, and
// says so. Where all values carry their own unit nothing is assumed.
//
// The unit is the only one that puts the middle of the column where such parts
// lie. Where several do, it is that of a column measured with the same tool,
// else of the system most other headers are in. Where none does, it is the base
// unit.
func (l *Log) assumeUnits() {
	votes := map[units.System]int{}
	var open []*column
	for _, c := range l.columns {
		d, ok := c.dimension()
		if !ok {
			continue
		}
		_, choice := candidates[c.def.Kind]
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
			l.assume(c, units.Base(d), Doubtful, median, "though no unit puts its values where such parts lie")
		case 1:
			votes[fitting[0].System]++
			l.assume(c, fitting[0], Note, median, "the only one that puts its values where such parts lie")
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
		if p := l.partner(c); p != nil && slices.Contains(fitting, p.unit) {
			l.assume(c, p.unit, Note, median, "as for "+p.name)
			continue
		}
		i := max(0, slices.IndexFunc(fitting, func(u units.Unit) bool { return u.System == system }))
		l.assume(c, fitting[i], Note, median, "as most of the log is "+map[units.System]string{units.Metric: "metric", units.US: "in inches and ounces"}[system])
	}
}

// assume sets a column's unit and reports it.
func (l *Log) assume(c *column, u units.Unit, s Severity, median float64, why string) {
	c.unit = u
	l.problem(Problem{Line: l.layout.line, Column: c.field + 1, Name: c.name, Text: c.header, Severity: s,
		Message: fmt.Sprintf("the header names no unit; %s is assumed, %s (middle value %g). Write it into the header: %s_%s",
			u.Symbol, why, median, c.name, strings.Replace(u.Symbol, "²", "2", 1))})
}

// partner returns a column with a settled unit that is measured with the same
// tool, nil for none.
func (l *Log) partner(c *column) *column {
	for _, other := range recorded {
		if p := l.byName[other.Name]; other.Tool == c.def.Tool && other.Tool != "" && p != nil && p.unit.Base != 0 {
			return p
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
	for _, name := range candidates[c.def.Kind] {
		u, _ := units.Find(name, d)
		if b := median * u.Base; b >= span.Low && b <= span.High {
			out = append(out, u)
		}
	}
	return out, median
}

// enough values show where the middle of a column lies.
const enough = 10_000

// middleOf is the median of the values that are there, without the rows given;
// NaN for none. Of long columns it looks at evenly spread rows.
func middleOf(values []float64, without []int32) float64 {
	step := max(1, len(values)/enough)
	v := make([]float64, 0, len(values)/step+1)
	for row := 0; row < len(values); row += step {
		if x := values[row]; !math.IsNaN(x) {
			if _, skip := slices.BinarySearch(without, int32(row)); !skip {
				v = append(v, x)
			}
		}
	}
	if len(v) == 0 {
		return math.NaN()
	}
	slices.Sort(v)
	return v[len(v)/2]
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
func (l *Log) toBase() {
	for _, c := range l.columns {
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
	if c := l.byName["claimed_efficiency"]; c != nil {
		l.fractions(c)
	}
}

// fractions reads an efficiency of 0.99 as 99 % where the whole column is
// written that way, as spreadsheets export cells formatted in percent.
func (l *Log) fractions(c *column) {
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
	l.problem(Problem{Line: l.layout.line, Column: c.field + 1, Name: c.name, Text: c.header, Severity: Note,
		Message: "no value is above 1; they are read as fractions of one, 0.99 as 99 %"})
}
