package catalogue

import (
	"slices"

	"pleatstat/dataset/internal/units"
)

// Kind is what a column holds, which determines how its cells are read.
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
	KindNumber   Kind = "number" // a column of the user's own, or a derived measure of no other kind
)

// Column describes one column that a log may have, or one measure derived from
// such columns. It is the only place where the program keeps facts about a
// column.
type Column struct {
	Name       string            // canonical name, for example can_gauge
	Kind       Kind              //
	Unit       string            // base unit of the stored values: mm, cm², g, g/m², …; "" for counts, texts and categories
	Synonyms   []string          // other header names used in the trade
	Categories []string          // accepted values of a category, in canonical spelling
	OtherWords map[string]string // by category: other words for it, separated by commas; common practice, no source
	Derived    bool              // computed from other columns
	Meaning    string            // one line
	HowTo      string            // how to measure it at the bench
	NeededBy   []string          // the findings that need it

	Spoken     string   // name in running text; "" = Name without underscores
	Axis       string   // name on a chart axis; "" = as in running text
	One, Many  string   // what is counted: pleat, pleats; "" for other kinds
	CountWords []string // other words written after the count

	About     About // the part of the filter it describes; "" = that of its group, or of the first input of a derived measure
	OfOpening bool  // describes the opening or the purchase; parts are not compared by it
	MayBeZero bool  // zero is a valid reading
	Whole     bool  // whole numbers only
	// Step is the error that one careful reading may have, in base units: the
	// step of the instrument named in HowTo, or one for a long count. It is 0
	// where nothing is measured or the count is seen at a glance. The step seen
	// in the log and its repeated readings take precedence.
	Step float64
	// Tool groups the columns that are usually logged in one unit, most of them
	// measured with the same tool.
	Tool string
	// Common is the range of values on spin-on filters, from the smallest
	// motorcycle part to the largest truck part, in base units. It
	// distinguishes millimetres from inches where a header names no unit.
	// Common practice, no source.
	Common Range
	// Typical is the narrower range of most readings. It decides between the
	// columns that one header may mean ("width"). Common practice, no source.
	Typical Range
	// Possible is the range outside which a reading of a spin-on filter is
	// physically impossible, in base units: several times beyond anything sold.
	// Common practice, no source. High = 0 sets no upper limit.
	Possible Range
	// Usual is the centre and the spread of the values over such parts.
	Usual Usual

	// Of a derived measure: the columns its formula takes, in order, and the
	// recorded column whose unit it follows, "" = that of its kind.
	Inputs  []string
	Formula func(inputs []float64) float64
	UnitOf  string
}

// About is a part of a filter; comparisons are ordered by it.
type About string

const (
	AboutPrice About = "price"
	AboutMedia About = "media"
	AboutCan   About = "can"
	AboutPlate About = "base plate and inlet"
	AboutRest  About = "valves and the rest"
)

// Range is a range of values in base units. The zero value means unknown.
type Range struct{ Low, High float64 }

// Usual is the distribution of a column's values over parts. Common practice,
// no source.
type Usual struct {
	Middle float64 // base unit; 0 = estimated from the log only
	Spread float64 // standard deviation of the logarithm over parts; 0 = estimated from the log only
	Least  float64 // lower limit of the spread of the logarithm, for a small log of similar parts; 0 = no usual range
}

// Numeric reports whether the column's cells are numbers.
func (c Column) Numeric() bool {
	return c.Kind != KindDate && c.Kind != KindText && c.Kind != KindCategory
}

// Dimension returns what a column of this kind measures. It is false for a kind
// without convertible units, such as a count or a price.
func (k Kind) Dimension() (units.Dimension, bool) {
	d, ok := dimensions[k]
	return d, ok
}

var dimensions = map[Kind]units.Dimension{
	KindLength: units.Length, KindMass: units.Mass, KindArea: units.Area, KindPercent: units.Percent,
	KindParticle: units.Particle, KindPressure: units.Pressure, KindFlow: units.Flow,
}

// AssumedUnits returns the units that a header without a unit may mean; nil
// where there is only one. The caller must not change the slice.
func (k Kind) AssumedUnits() []string { return assumedUnits[k] }

var assumedUnits = map[Kind][]string{
	KindLength:   {"mm", "in", "cm", "thou"},
	KindMass:     {"g", "oz", "kg", "lb"},
	KindArea:     {"cm²", "in²", "m²"},
	KindPressure: {"bar", "psi", "kPa"},
	KindFlow:     {"L/min", "gal/min"},
}

// Thin reports whether the column is measured in thousandths of an inch or
// micrometres.
func (c Column) Thin() bool {
	return slices.Contains([]string{"can_gauge", "base_plate_gauge", "media_thickness"}, c.Name)
}
