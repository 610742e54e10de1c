package dataset

import "pleatstat/dataset/catalogue"

// The column types of dataset/catalogue, which alone describes the columns,
// re-exported for the analyses.
type (
	// Column describes one column a log may have, or one derived measure.
	Column = catalogue.Column
	// Kind is what a column holds.
	Kind = catalogue.Kind
	// Range is a range of values in base units.
	Range = catalogue.Range
)

// Kinds of columns; catalogue describes them.
const (
	KindDate     = catalogue.KindDate
	KindText     = catalogue.KindText
	KindMoney    = catalogue.KindMoney
	KindLength   = catalogue.KindLength
	KindMass     = catalogue.KindMass
	KindArea     = catalogue.KindArea
	KindCount    = catalogue.KindCount
	KindPercent  = catalogue.KindPercent
	KindParticle = catalogue.KindParticle
	KindFlow     = catalogue.KindFlow
	KindCategory = catalogue.KindCategory
	KindNumber   = catalogue.KindNumber
)

// Densities of sheet metal, g/cm³.
const (
	SteelDensity     = catalogue.SteelDensity
	AluminiumDensity = catalogue.AluminiumDensity
)

// Columns returns the columns that a log may have, in canonical order.
func Columns() []Column { return catalogue.Columns() }

// DerivedColumns returns the measures computed from those columns.
func DerivedColumns() []Column { return catalogue.DerivedColumns() }

// LookUp finds a recorded or derived column by its canonical name.
func LookUp(name string) (Column, bool) { return catalogue.LookUp(name) }

// Inputs returns the recorded columns from which a measure is computed.
func Inputs(name string) []string { return catalogue.Inputs(name) }

// Formula returns the inputs of a derived measure and the function that
// computes it from them.
func Formula(name string) ([]string, func([]float64) float64) { return catalogue.Formula(name) }

// CategoryWords returns the other words a log may use for a category of a
// column.
func CategoryWords(column, category string) []string {
	return catalogue.CategoryWords(column, category)
}

// Spoken returns a column's name as running text uses it: "can gauge".
func Spoken(name string) string { return catalogue.Spoken(name) }

// Words is like Spoken, but returns the plural for a count: "pleats".
func Words(name string) string { return catalogue.Words(name) }

// AxisName returns a column's name as a chart axis shows it.
func AxisName(name string) string { return catalogue.AxisName(name) }
