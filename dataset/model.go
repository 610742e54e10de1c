package dataset

// Kind says what a column holds and so how its cells are read.
type Kind string

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
	inputs  []string
	formula func(inputs []float64) float64
	unitOf  string
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

// Severity says what a problem costs.
type Severity string

const (
	// Unusable cells hold nothing that can be read; the cell counts as blank.
	Unusable Severity = "cannot be used"
	// Doubtful values are read but look like a slip.
	Doubtful Severity = "doubtful"
	// Note is for the reader's information.
	Note Severity = "note"
)

// Problem is one thing found wrong with the log, at the place where it stands.
type Problem struct {
	File     string   `json:"file"`
	Line     int      `json:"line"`   // 1-based line of the file on which the cell starts; 0 = whole file
	Column   int      `json:"column"` // 1-based field number within the record; 0 = whole line
	Name     string   `json:"name"`   // canonical column name, or the header's own text
	Text     string   `json:"text"`   // what stands there
	Message  string   `json:"message"`
	Severity Severity `json:"severity"`
}

// CellRef names one cell of a log by its row (0-based opening) and canonical
// column.
type CellRef struct {
	Row    int    `json:"row"`
	Column string `json:"column"`
}
