// Package slip answers "which entry errors could explain the number in this cell,
// and what would the cell hold without them?".
//
// A number may have been read in another unit than the column's, converted twice or
// in the wrong direction, written with a misplaced decimal point, or with two
// neighbouring digits exchanged. Of lists the factors that undo the first three,
// Turned the exchanges of digits; Undone writes the corrected cell in its original
// style.
//
// It does not decide whether an error happened; package check does, from the other
// readings.
package slip

import (
	"math"
	"strings"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
)

// Kind is the kind of entry error that a suggestion corrects.
type Kind string

// The kinds of entry errors.
const (
	Unit          Kind = "unit"
	Decimal       Kind = "decimal"
	Swap          Kind = "swap"
	Transposition Kind = "transposition"
	Spelling      Kind = "spelling"
	Date          Kind = "date"
)

// Kinds returns all kinds.
func Kinds() []Kind {
	return []Kind{Unit, Decimal, Swap, Transposition, Spelling, Date}
}

// Slip is an entry error that a number may contain.
type Slip struct {
	Kind   Kind
	Unit   string  // for kind Unit, the unit in which it was read; "" = converted twice or in the wrong direction
	Factor float64 // multiplies the reading to correct it; 0 for a transposition

	digit           int     // for a transposition, the digit exchanged with the next
	written, turned float64 // for a transposition, the number before and after
}

// Right returns the corrected reading.
func (s *Slip) Right(reading float64) float64 {
	if s.Kind == Transposition {
		return reading * s.turned / s.written // exact if all are whole numbers
	}
	return reading * s.Factor
}

// UnitNames returns the units in which an instrument could have shown a reading of a
// kind; nil for counts and money.
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

// powers are the factors of misplaced decimal points.
var powers = []float64{10, 0.1, 100, 0.01, 1000, 0.001}

// Of returns the possible errors of unit and decimal point for a reading of a kind
// written in the given unit, each factor once.
func Of(kind catalogue.Kind, unit string) []Slip {
	var out []Slip
	add := func(s Slip) {
		for _, k := range out {
			if Same(k.Factor, s.Factor) {
				return // one explanation per factor
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
			continue // a decimal point one place off is the simpler explanation
		}
		add(Slip{Kind: Unit, Unit: read, Factor: one})
	}
	for _, p := range powers {
		add(Slip{Kind: Decimal, Factor: p})
	}
	for _, read := range UnitNames(kind) { // converted twice or in the wrong direction
		one, err := dataset.Convert(1, unit, read)
		if far := math.Abs(math.Log10(one)) > 1; err == nil && far && !isPowerOfTen(one) {
			add(Slip{Kind: Unit, Factor: one})
		}
	}
	return out
}

// Same reports whether two values or factors differ by less than 2 %, and so cannot
// be distinguished.
func Same(a, b float64) bool { return math.Abs(math.Log(a/b)) < 0.02 }

func isPowerOfTen(f float64) bool {
	l := math.Log10(f)
	return math.Abs(l-math.Round(l)) < 1e-9
}

// Turned returns the possible exchanges of two neighbouring digits in the number of
// a cell.
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

// Undone returns the corrected text of a cell in its original style; value is the
// corrected number in the unit of the cell.
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

// Meant describes the intended reading and how the error came about.
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
