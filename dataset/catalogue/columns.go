// Package catalogue describes the columns that a log may have and the measures
// derived from them: names and synonyms, meaning, how to measure, unit, and the
// usual and possible values. It holds no data of a log. Facts about filters are
// common practice unless a source is given beside them.
package catalogue

import (
	"cmp"
	"iter"
	"slices"
	"strings"
	"sync"
)

// LookUp finds a recorded or derived column by its canonical name. For a
// measure that is recorded in some logs and derived in others (media_area) it
// returns the recorded one.
func LookUp(name string) (Column, bool) {
	if i, ok := places()[name]; ok {
		return recorded[i], true
	}
	i := slices.IndexFunc(derived, func(c Column) bool { return c.Name == name })
	if i < 0 {
		return Column{}, false
	}
	return derived[i], true
}

// places maps the names of the recorded columns to their indexes.
var places = sync.OnceValue(func() map[string]int {
	out := make(map[string]int, len(recorded))
	for i, c := range recorded {
		out[c.Name] = i
	}
	return out
})

// Facts is like LookUp, but returns the zero Column for an unknown name.
func Facts(name string) Column {
	c, _ := LookUp(name)
	return c
}

// Recorded iterates over the columns that a log may have, in canonical order.
// The caller must not change the slices in them.
func Recorded() iter.Seq[Column] { return slices.Values(recorded) }

// Spoken returns a column's name as running text uses it: can_gauge is "can
// gauge". A column of the user's own keeps its header.
func Spoken(name string) string {
	if c := Facts(name); c.Spoken != "" {
		return c.Spoken
	}
	return strings.ReplaceAll(name, "_", " ")
}

// Words is like Spoken, but returns the plural for a count: "pleats".
func Words(name string) string {
	if c := Facts(name); c.Many != "" && !c.OfOpening {
		return c.Many
	}
	return Spoken(name)
}

// AxisName returns a column's name as a chart axis shows it.
func AxisName(name string) string {
	if c := Facts(name); c.Axis != "" {
		return c.Axis
	}
	return Spoken(name)
}

// IsCounted reports whether a lower-case word names something that a column
// counts.
func IsCounted(word string) bool { return counted()[word] }

// counted holds every word for something that a column counts.
var counted = sync.OnceValue(func() map[string]bool {
	out := map[string]bool{}
	for _, c := range recorded {
		for _, w := range append([]string{c.One, c.Many}, c.CountWords...) {
			if w != "" {
				out[w] = true
			}
		}
	}
	return out
})

// Names of findings, for NeededBy.
const (
	needsPrice    = "price for what is inside"
	needsGauge    = "can gauge on can mass"
	needsPleats   = "pleats on element width"
	needsDrift    = "change over the years"
	needsCompare  = "comparison of parts"
	needsGrammage = "media mass on media area"
	needsLength   = "media length on pleats"
	needsCheck    = "slips of the pen"
	needsAll      = "every finding"
)

// Groups of columns, as Column.Tool explains them, and the error that one
// careful reading with an instrument may have, in base units. Common practice,
// no source.
const (
	tape       = "tape"
	caliper    = "caliper"
	micrometer = "micrometer"
	scale      = "scale"
	gauge      = "pressure gauge"

	tapeStep       = 1    // mm
	caliperStep    = 0.1  // mm, on parts that yield to the jaws
	micrometerStep = 0.01 // mm
	scaleStep      = 0.1  // g
	pressureStep   = 0.05 // bar
	longCountStep  = 1    // one pleat of sixty is easily missed or counted twice
)

// recorded holds the recorded columns in canonical order; each group is in a
// file of its own.
var recorded = slices.Concat(about(AboutRest, recordColumns), about(AboutCan, canColumns), about(AboutMedia, elementColumns),
	about(AboutRest, valveColumns), about(AboutMedia, claimColumns))

// about sets the About of the columns of a group whose entries do not set it.
func about(what About, columns []Column) []Column {
	out := slices.Clone(columns)
	for i := range out {
		out[i].About = cmp.Or(out[i].About, what)
	}
	return out
}
