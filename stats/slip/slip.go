// Package slip says what a slip of the pen can have made of one number in a
// cell, and how the cell would read without it.
//
// A number can have been read in another unit than the column's, converted the
// wrong way or twice, written with its decimal point moved, or with two
// neighbouring digits turned round. Of lists the factors that undo the first
// three, Turned the fourth; Undone writes the cell anew in its own style. Which
// of them happened, if any, is for the readings beside it to say: this package
// weighs nothing.
package slip

import (
	"math"
	"strings"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
)

// Kind says what sort of slip a suggestion undoes.
type Kind string

// The kinds of slips.
const (
	Unit          Kind = "unit"
	Decimal       Kind = "decimal"
	Swap          Kind = "swap"
	Transposition Kind = "transposition"
	Spelling      Kind = "spelling"
	Date          Kind = "date"
)

// Kinds lists them all.
func Kinds() []Kind {
	return []Kind{Unit, Decimal, Swap, Transposition, Spelling, Date}
}

// Slip is one slip that may have happened to a number.
type Slip struct {
	Kind   Kind
	Unit   string  // the unit it was read in, for a unit slip; "" = converted twice, or the wrong way
	Factor float64 // what the reading is multiplied by to undo it; 0 of a transposition

	digit           int     // of a transposition: which digit goes behind its neighbour
	written, turned float64 // and the number before and after
}

// Right is the reading without the slip.
func (s *Slip) Right(reading float64) float64 {
	if s.Kind == Transposition {
		return reading * s.turned / s.written // exact where both are whole numbers
	}
	return reading * s.Factor
}

// UnitNames lists in which units a tool could have shown a reading of a kind;
// none for counts and money.
func UnitNames(kind catalogue.Kind) []string {
	switch kind {
	case catalogue.KindLength:
		return []string{"mm", "in", "cm", "m"}
	case catalogue.KindMass:
		return []string{"g", "oz", "kg", "lb"}
	case catalogue.KindArea:
		return []string{"cm²", "in²", "mm²"}
	}
	return nil
}

// powers of ten a misplaced point makes.
var powers = []float64{10, 0.1, 100, 0.01, 1000, 0.001}

// Of lists the slips of unit and point for a reading of a kind written in the
// given unit, each factor once.
func Of(kind catalogue.Kind, unit string) []Slip {
	var out []Slip
	add := func(s Slip) {
		for _, k := range out {
			if Same(k.Factor, s.Factor) {
				return // one explanation for one factor
			}
		}
		out = append(out, s)
	}
	for _, read := range UnitNames(kind) {
		one, err := dataset.Convert(1, read, unit)
		if err != nil || math.Abs(one-1) < 0.01 {
			continue
		}
		if isPowerOfTen(one) && one < 100 && one > 0.01 {
			continue // a point one place off is the shorter story
		}
		add(Slip{Kind: Unit, Unit: read, Factor: one})
	}
	for _, p := range powers {
		add(Slip{Kind: Decimal, Factor: p})
	}
	for _, read := range UnitNames(kind) { // converted the wrong way, or twice
		one, err := dataset.Convert(1, unit, read)
		if far := math.Abs(math.Log10(one)) > 1; err == nil && far && !isPowerOfTen(one) {
			add(Slip{Kind: Unit, Factor: one})
		}
	}
	return out
}

// Same says whether two values, or factors, cannot be told apart.
func Same(a, b float64) bool { return math.Abs(math.Log(a/b)) < 0.02 }

func isPowerOfTen(f float64) bool {
	l := math.Log10(f)
	return math.Abs(l-math.Round(l)) < 1e-9
}

// Turned lists the slips by which two neighbouring digits of a cell's number
// were turned round.
func Turned(text string) []Slip {
	from, to, ok := Number(text)
	if !ok {
		return nil
	}
	text = text[from:to]
	written, err := Value(text)
	if err != nil || written <= 0 {
		return nil
	}
	var out []Slip
	for k := range len(text) - 1 {
		other, err := Value(Turn(text, k))
		if err == nil && other > 0 && other != written {
			out = append(out, Slip{Kind: Transposition, digit: k, written: written, turned: other})
		}
	}
	return out
}

// Undone is what a cell would say without the slip, in its own style. The
// number it then holds is value, in the unit that the cell is written in.
func (s *Slip) Undone(text string, kind catalogue.Kind, value float64) string {
	from, to, ok := Number(text)
	if s.Kind == Unit && s.Unit != "" {
		if ok {
			return text[:to] + " " + s.Unit
		}
		return strings.TrimSpace(text) + " " + s.Unit
	}
	if !ok {
		return Plain(value, 3)
	}
	written := text[from:to]
	switch {
	case s.Kind == Transposition:
		written = Turn(written, s.digit)
	case isPowerOfTen(s.Factor):
		written = tidy(shift(written, int(math.Round(math.Log10(s.Factor)))), kind)
	default:
		written = Plain(value, 3)
		if strings.Contains(text[from:to], ",") {
			written = strings.Replace(written, ".", ",", 1)
		}
	}
	return text[:from] + written + text[to:]
}

// Meant says what was probably meant, and how the slip came about.
func (s *Slip) Meant(intended string) string {
	switch {
	case s.Kind == Unit && s.Unit != "":
		return intended
	case s.Kind == Unit:
		return intended + " (converted twice, or the wrong way)"
	case s.Kind == Decimal:
		return intended + " (the point " + places(s.Factor) + " off)"
	}
	return intended + " (two digits turned round)"
}

func places(factor float64) string {
	switch n := int(math.Abs(math.Round(math.Log10(factor)))); n {
	case 1:
		return "one place"
	case 2:
		return "two places"
	}
	return "three places"
}
