package dataset

import "pleatstat/dataset/catalogue"

// The catalogue of columns under the names every analysis knows it by: what a column
// is stands in dataset/catalogue and nowhere else.
type (
	// Column describes one column a log may have, or one derived measure.
	Column = catalogue.Column
	// Kind says what a column holds.
	Kind = catalogue.Kind
	// Range of values in base units.
	Range = catalogue.Range
)

// Kinds of columns, as catalogue explains them.
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

// Columns returns the columns a log may have, in canonical order.
func Columns() []Column { return catalogue.Columns() }

// DerivedColumns returns the measures computed from them.
func DerivedColumns() []Column { return catalogue.DerivedColumns() }

// LookUp finds a recorded or derived column by its canonical name.
func LookUp(name string) (Column, bool) { return catalogue.LookUp(name) }

// Inputs returns the recorded columns a measure is computed from.
func Inputs(name string) []string { return catalogue.Inputs(name) }

// Formula gives the columns from which a measure is computed, and how.
func Formula(name string) ([]string, func([]float64) float64) { return catalogue.Formula(name) }

// CategoryWords lists the other words a log may use for a category of a column.
func CategoryWords(column, category string) []string {
	return catalogue.CategoryWords(column, category)
}

// Spoken is a column's name in running text.
func Spoken(name string) string { return catalogue.Spoken(name) }

// Words is Spoken, but for what is counted: "pleats".
func Words(name string) string { return catalogue.Words(name) }

// AxisName is a column's name on the axis of a chart.
func AxisName(name string) string { return catalogue.AxisName(name) }
