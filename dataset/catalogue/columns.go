// Package catalogue says what columns a log may have and which measures follow from
// them: of each its name and other names, what it means, how it is measured and in
// which unit, what it usually is and what it can be at all. It holds no log. What it
// knows of filters is common practice unless a source stands beside it.
package catalogue

import (
	"cmp"
	"iter"
	"slices"
	"strings"
	"sync"
)

// LookUp finds a recorded or derived column by its canonical name. Of a measure
// that is recorded in some logs and derived in others (media_area) it gives the
// recorded one.
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

// places of the recorded columns by name.
var places = sync.OnceValue(func() map[string]int {
	out := make(map[string]int, len(recorded))
	for i, c := range recorded {
		out[c.Name] = i
	}
	return out
})

// Facts is LookUp for a name that is known to be one of a column; else nothing is said
// in it.
func Facts(name string) Column {
	c, _ := LookUp(name)
	return c
}

// Recorded goes through the columns a log may have, in canonical order. The slices
// inside are not the caller's to change.
func Recorded() iter.Seq[Column] { return slices.Values(recorded) }

// Spoken is a column's name as it is said in running text: can_gauge is "can
// gauge". A column of the user's own is called by its header.
func Spoken(name string) string {
	if c := Facts(name); c.Spoken != "" {
		return c.Spoken
	}
	return strings.ReplaceAll(name, "_", " ")
}

// Words is Spoken, but for what is counted, which is called by its name in the
// plural: "pleats". Units are left to the values beside it.
func Words(name string) string {
	if c := Facts(name); c.Many != "" && !c.OfOpening {
		return c.Many
	}
	return Spoken(name)
}

// AxisName is a column's name as it stands on the axis of a chart.
func AxisName(name string) string {
	if c := Facts(name); c.Axis != "" {
		return c.Axis
	}
	return Spoken(name)
}

// IsCounted says whether a word, in small letters, is one for something that a
// column counts.
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

// Names of findings, as NeededBy tells them.
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

// Tools that the how-to of several columns names, and what a careful reading
// with them may be out by, in base units. Common practice, no source.
const (
	tape       = "tape"
	caliper    = "caliper"
	micrometer = "micrometer"
	scale      = "scale"
	gauge      = "pressure gauge"

	tapeStep       = 1    // mm
	caliperStep    = 0.1  // mm, on parts that give way
	micrometerStep = 0.01 // mm
	scaleStep      = 0.1  // g
	pressureStep   = 0.05 // bar
	longCountStep  = 1    // one pleat of sixty is easily missed or counted twice
)

// recorded columns, in canonical order; each group stands in a file of its own.
var recorded = slices.Concat(about(AboutRest, recordColumns), about(AboutCan, canColumns), about(AboutMedia, elementColumns),
	about(AboutRest, valveColumns), about(AboutMedia, claimColumns))

// about is what the columns of a group are about where their entries do not say
// otherwise.
func about(what About, columns []Column) []Column {
	out := slices.Clone(columns)
	for i := range out {
		out[i].About = cmp.Or(out[i].About, what)
	}
	return out
}
