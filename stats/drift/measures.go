package drift

import (
	"fmt"
	"slices"
	"strings"
)

// scale says on which scale a measure's changes are alike for parts of every
// size.
type scale int

const (
	absolute     scale = iota // so many mm, pleats a year whatever the size
	proportional              // so many per cent a year, told in base units at the maker's typical size
	toMarket                  // so many per cent a year beyond what the other makers did
)

// measure is one thing followed over time.
type measure struct {
	name  string
	unit  string // base unit
	scale scale
	// made names the recorded columns a derived measure is a product or
	// quotient of: its reading step and repeatability follow from theirs.
	made []string
	// sizes are the columns that tell a part's size, the best first, for parts
	// that were opened once.
	sizes []string
	// reference is the yearly change worth finding: base units for absolute
	// measures, a share for the others.
	reference float64
}

// columns are the recorded columns behind the measure.
func (m *measure) columns() []string {
	if m.made == nil {
		return []string{m.name}
	}
	return m.made
}

const (
	gaugeReference  = 0.01 // mm a year: a tenth of a usual wall in six years
	pleatReference  = 1    // pleats a year
	shareReference  = 0.02 // of the typical value a year, about what 0.01 mm is of a wall
	marketReference = 0.05 // of the price a year beyond the market
)

// followed lists every measure in the order results come.
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

// WorthFinding is the yearly change of a measure that Entry.MoreOpenings is
// counted for: in base units, or as a share of the typical value (of a price:
// beyond the market). 0 for a measure that is not followed.
func WorthFinding(measure string) (change float64, share bool) {
	for _, m := range followed {
		if m.name == measure {
			return m.reference, m.scale != absolute
		}
	}
	return 0, false
}

// Measures returns the canonical names of the measures followed over time, in
// the order results come.
func Measures() []string {
	names := make([]string, len(followed))
	for i, m := range followed {
		names[i] = m.name
	}
	return names
}

// UnknownMeasureError is returned where a measure is asked for that is not
// followed over time.
type UnknownMeasureError struct{ Name string }

func (e *UnknownMeasureError) Error() string {
	return fmt.Sprintf("%q is not followed over time; these are: %s", e.Name, strings.Join(Measures(), ", "))
}

// UnknownMakerError is returned where a maker is asked for that has no opening
// with a date.
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

// checkMeasures refuses names that are not followed.
func checkMeasures(names []string) error {
	for _, n := range names {
		if !slices.Contains(Measures(), n) {
			return &UnknownMeasureError{Name: n}
		}
	}
	return nil
}
