package catalogue

import (
	"slices"

	"pleatstat/dataset/internal/units"
)

// Kind says what a column holds and so how its cells are read.
type Kind string

// The kinds of columns.
const (
	KindDate     Kind = "date"
	KindText     Kind = "text"
	KindMoney    Kind = "money"
	KindLength   Kind = "length"
	KindMass     Kind = "mass"
	KindArea     Kind = "area"
	KindCount    Kind = "count"
	KindPercent  Kind = "percent"
	KindParticle Kind = "particle size"
	KindPressure Kind = "pressure"
	KindFlow     Kind = "flow"
	KindCategory Kind = "category"
	KindNumber   Kind = "number" // a column of the user's own, or a derived one without a convertible unit
)

// Column describes one column a log may have, or one measure derived from
// such columns: everything the program knows about it stands here and nowhere
// else.
type Column struct {
	Name       string            // canonical name, for example can_gauge
	Kind       Kind              //
	Unit       string            // base unit every value is held in: mm, cm², g, g/m², …; "" for counts, text and categories
	Synonyms   []string          // other header names the trade uses
	Categories []string          // accepted values of a category, in canonical spelling
	OtherWords map[string]string // of each category: other words for it, with commas between; common practice, no source
	Derived    bool              // computed from other columns, not read
	Meaning    string            // what it is, one line
	HowTo      string            // how to measure it at the bench
	NeededBy   []string          // which findings need it

	Spoken     string   // as it is said in running text; "" = the name without its underscores
	Axis       string   // as it stands on the axis of a chart; "" = as it is spoken
	One, Many  string   // what is counted: pleat, pleats; "" where nothing is
	CountWords []string // other words people write behind the count

	About     About // the part of the filter it tells of; "" = that of its group, of a derived one of its first input
	OfOpening bool  // belongs to the opening or the bill, not to the part: two parts are not compared by it
	MayBeZero bool  // zero is a reading, and not a slip
	Whole     bool  // whole numbers only
	// Step is what one careful reading may be out by, in base units: the step
	// of the instrument the how-to names, or one of a long count; 0 where
	// nothing is measured or what is counted is seen at a glance. The log's own
	// step and its repeated readings come before it.
	Step float64
	// Tool that measures it: columns with one tool share a unit more often than not.
	Tool string
	// Common is what the column holds on spin-on filters, from the smallest
	// motorcycle part to the largest truck part, in base units. It serves to
	// tell millimetres from inches where a header names no unit. Common
	// practice, no source.
	Common Range
	// Typical is narrower: where most such readings lie. It decides between the
	// columns that one header may mean ("width"). Common practice, no source.
	Typical Range
	// Possible is the range in which a reading of a spin-on filter can lie at
	// all, in base units: several times beyond anything sold. Common practice,
	// no source. Without an upper end nothing is too much.
	Possible Range
	// Usual is the middle of such parts and how they scatter.
	Usual Usual

	// Of a derived measure: the columns its formula takes, in its order, and the
	// recorded one whose unit it follows, "" = that of its kind.
	Inputs  []string
	Formula func(inputs []float64) float64
	UnitOf  string
}

// About is a part of a filter, by which comparisons are ordered.
type About string

const (
	AboutPrice About = "price"
	AboutMedia About = "media"
	AboutCan   About = "can"
	AboutPlate About = "base plate and inlet"
	AboutRest  About = "valves and the rest"
)

// Range of values in base units; the zero value says nothing.
type Range struct{ Low, High float64 }

// Usual is where a column lies over parts. Common practice, no source.
type Usual struct {
	Middle float64 // base unit; 0 = only a log of its own tells
	Spread float64 // of the logarithm over parts; 0 = only a log of its own tells
	Least  float64 // what the spread of the logarithm is at least taken to be, however alike a small log's parts are; 0 = no usual range
}

// Numeric says whether the column's cells are numbers.
func (c Column) Numeric() bool {
	return c.Kind != KindDate && c.Kind != KindText && c.Kind != KindCategory
}

// Dimension is what a column of this kind measures; false where it has no unit
// that could be another.
func (k Kind) Dimension() (units.Dimension, bool) {
	d, ok := dimensions[k]
	return d, ok
}

var dimensions = map[Kind]units.Dimension{
	KindLength: units.Length, KindMass: units.Mass, KindArea: units.Area, KindPercent: units.Percent,
	KindParticle: units.Particle, KindPressure: units.Pressure, KindFlow: units.Flow,
}

// AssumedUnits are the units that a header without one may mean; nil where it goes
// without saying. The slice is not the caller's to change.
func (k Kind) AssumedUnits() []string { return assumedUnits[k] }

var assumedUnits = map[Kind][]string{
	KindLength:   {"mm", "in", "cm", "thou"},
	KindMass:     {"g", "oz", "kg", "lb"},
	KindArea:     {"cm²", "in²", "m²"},
	KindPressure: {"bar", "psi", "kPa"},
	KindFlow:     {"L/min", "gal/min"},
}

// Thin says whether thousandths of an inch and micrometres are for the column.
func (c Column) Thin() bool {
	return slices.Contains([]string{"can_gauge", "base_plate_gauge", "media_thickness"}, c.Name)
}
