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
	KindCategory Kind = "category"
	KindNumber   Kind = "number" // a column of the user's own, or a derived one without a convertible unit
)

// Column describes one column a log may have, or one measure derived from
// such columns.
type Column struct {
	Name       string   // canonical name, for example can_gauge
	Kind       Kind     //
	Unit       string   // base unit every value is held in: mm, cm², g, g/m², …; "" for counts, text and categories
	Synonyms   []string // other header names the trade uses
	Categories []string // accepted values of a category, in canonical spelling
	Derived    bool     // computed from other columns, not read
	Meaning    string   // what it is, one line
	HowTo      string   // how to measure it at the bench
	NeededBy   []string // which findings need it
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
	Row    int
	Column string
}
