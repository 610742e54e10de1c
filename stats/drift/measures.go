package drift

import (
	"fmt"
	"slices"
	"strings"
)

// scale is the scale on which changes of a measure are comparable between parts
// of every size.
type scale int

const (
	absolute     scale = iota // base units a year, whatever the size
	proportional              // relative change a year, reported in base units at the maker's typical size
	toMarket                  // relative change a year beyond that of the other makers
)

// measure is a measure analysed over time.
type measure struct {
	name  string
	unit  string // base unit
	scale scale
	// made lists the recorded columns of which a derived measure is a product or
	// quotient; its reading step and repeatability follow from theirs.
	made []string
	// sizes lists columns that measure a part's size, best first, for the trend
	// of parts that were opened once.
	sizes []string
	// reference is the yearly change worth finding: base units for absolute
	// measures, relative for the others.
	reference float64
}

// columns returns the recorded columns behind the measure.
func (m *measure) columns() []string {
	if m.made == nil {
		return []string{m.name}
	}
	return m.made
}

const (
	gaugeReference  = 0.01 // mm a year: a tenth of a usual wall in about five years
	pleatReference  = 1    // pleats a year
	shareReference  = 0.02 // of the typical value a year, about what 0.01 mm is of a wall
	marketReference = 0.05 // of the price a year beyond the market
)

// followed lists every measure, in the order of the results.
var followed = []measure{
	{name: "can_gauge", unit: "mm", reference: gaugeReference, sizes: []string{"can_surface", "can_od", "total_mass", "can_mass"}},
	{name: "can_mass", unit: "g", scale: proportional, reference: shareReference, sizes: []string{"can_surface", "can_od", "element_width"}},
	{name: "can_mass_per_area", unit: "g/cm²", scale: proportional, reference: shareReference, made: []string{"can_mass", "can_od", "can_height"}, sizes: []string{"can_surface", "can_od", "total_mass"}},
	{name: "pleats", reference: pleatReference, sizes: []string{"element_width", "can_surface", "total_mass"}},
	{name: "media_area", unit: "cm²", scale: proportional, reference: shareReference, made: []string{"media_length", "element_width"}, sizes: []string{"can_surface", "element_width", "total_mass", "can_mass"}},
	{name: "media_length", unit: "mm", scale: proportional, reference: shareReference, sizes: []string{"can_surface", "element_width", "total_mass", "can_mass"}},
	{name: "grammage", unit: "g/m²", scale: proportional, reference: shareReference, made: []string{"media_mass", "media_length", "element_width"}, sizes: []string{"media_area", "total_mass"}},
	{name: "element_mass", unit: "g", scale: proportional, reference: shareReference, sizes: []string{"can_surface", "element_width", "can_mass", "total_mass"}},
	{name: "base_plate_mass", unit: "g", scale: proportional, reference: shareReference, sizes: []string{"can_od", "can_surface", "can_mass", "total_mass"}},
	{name: "total_mass", unit: "g", scale: proportional, reference: shareReference, sizes: []string{"can_surface", "can_od", "element_width"}},
	{name: "price", scale: toMarket, reference: marketReference, sizes: []string{"media_area", "total_mass", "can_surface"}},
	{name: "price_per_area", scale: toMarket, reference: marketReference, sizes: []string{"media_area", "total_mass", "can_surface"}},
}

// WorthFinding returns the yearly change of a measure that Entry.MoreOpenings
// refers to: in base units, or relative to the typical value where share is true
// (for prices: beyond the market). It is 0 for a measure that is not analysed
// over time.
func WorthFinding(measure string) (change float64, share bool) {
	for _, m := range followed {
		if m.name == measure {
			return m.reference, m.scale != absolute
		}
	}
	return 0, false
}

// Measures returns the canonical names of the measures analysed over time, in the
// order of the results.
func Measures() []string {
	names := make([]string, len(followed))
	for i, m := range followed {
		names[i] = m.name
	}
	return names
}

// UnknownMeasureError reports that a requested measure is not analysed over time.
type UnknownMeasureError struct{ Name string }

func (e *UnknownMeasureError) Error() string {
	return fmt.Sprintf("%q is not followed over time; these are: %s", e.Name, strings.Join(Measures(), ", "))
}

// UnknownMakerError reports that a requested maker has no dated opening.
type UnknownMakerError struct {
	Name string
	Have []string
}

func (e *UnknownMakerError) Error() string {
	if len(e.Have) == 0 {
		return fmt.Sprintf("no opening of maker %q that is looked at has a date, nor has one of any other", e.Name)
	}
	return fmt.Sprintf("no opening of maker %q that is looked at has a date; makers with some that have: %s", e.Name, strings.Join(e.Have, ", "))
}

// checkMeasures rejects names that are not analysed over time.
func checkMeasures(names []string) error {
	for _, n := range names {
		if !slices.Contains(Measures(), n) {
			return &UnknownMeasureError{Name: n}
		}
	}
	return nil
}
