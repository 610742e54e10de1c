// Package units holds the units in which a log may be written and converts them
// to the base unit of their dimension.
//
// Factors follow from the exact definitions in NIST Special Publication 811
// (2008), appendix B: inch 25.4 mm, pound 453.592 37 g, ounce (avoirdupois)
// 28.349 523 125 g, US gallon 3.785 411 784 L. The pound-force per square inch,
// 6.894 757 kPa there, is computed from pound-force and inch. The dram is a
// sixteenth of the ounce (NIST Handbook 44, appendix C).
package units

import (
	"fmt"
	"strings"
	"unicode"
)

// Dimension is what a unit measures. Only units of one dimension convert into
// each other.
type Dimension string

const (
	Length   Dimension = "length"        // base mm
	Mass     Dimension = "mass"          // base g
	Area     Dimension = "area"          // base cm²
	Volume   Dimension = "volume"        // base cm³
	Grammage Dimension = "grammage"      // base g/m²
	Surface  Dimension = "mass per area" // base g/cm²
	Density  Dimension = "density"       // base g/cm³
	Percent  Dimension = "percent"       // base %
	Particle Dimension = "particle size" // base µm
	Opening  Dimension = "opening"       // base mm², areas of small holes
	Pressure Dimension = "pressure"      // base bar
	Flow     Dimension = "flow"          // base L/min
)

// System is the family to which a unit belongs.
type System string

const (
	Metric System = "metric"
	US     System = "us"
	Either System = "" // percent, micrometre
)

const (
	mmPerInch   = 25.4
	gPerPound   = 453.59237
	gPerOunce   = gPerPound / 16
	cm2PerInch2 = mmPerInch * mmPerInch / 100
	cm3PerInch3 = mmPerInch * mmPerInch * mmPerInch / 1000
	m2PerYard2  = 0.9144 * 0.9144
	barPerPsi   = 4.4482216152605 / (mmPerInch * mmPerInch) * 10 // a pound-force is 4.448… N (standard gravity); 1 N/mm² is 10 bar
	lPerGallon  = 3.785411784
)

// Unit is one unit of a dimension.
type Unit struct {
	Symbol    string
	Dimension Dimension
	System    System
	Base      float64 // value of one such unit in base units
	names     string  // other spellings, separated by spaces
}

var table = []Unit{
	{"mm", Length, Metric, 1, "millimetre millimetres millimeter millimeters mms"},
	{"cm", Length, Metric, 10, "centimetre centimetres centimeter centimeters cms"},
	{"m", Length, Metric, 1000, "metre metres meter meters"},
	{"in", Length, US, mmPerInch, "inch inches ins \" ″ ” '' ′′"},
	{"ft", Length, US, 12 * mmPerInch, "foot feet ' ′"},
	{"thou", Length, US, mmPerInch / 1000, "mil mils thous thousandth thousandths th 1/1000in 1/1000inch 1/1000\" 0001in 0001inch 0001\" 1000ths thousandthsofaninch"},
	{"µm", Length, Metric, 0.001, "um micron microns micrometre micrometres micrometer micrometers"},
	{"g", Mass, Metric, 1, "gram grams gramme grammes gr gm gms"},
	{"kg", Mass, Metric, 1000, "kilogram kilograms kilo kilos kgs"},
	{"mg", Mass, Metric, 0.001, "milligram milligrams"},
	{"oz", Mass, US, gPerOunce, "ounce ounces ozs"},
	{"dr", Mass, US, gPerOunce / 16, "dram drams drm drms"},
	{"lb", Mass, US, gPerPound, "lbs pound pounds"},
	{"cm²", Area, Metric, 1, "cm2 cm^2 sqcm cmsq squarecm squarecentimetres squarecentimeters"},
	{"mm²", Area, Metric, 0.01, "mm2 mm^2 sqmm mmsq squaremm squaremillimetres squaremillimeters"},
	{"m²", Area, Metric, 10000, "m2 m^2 sqm msq squaremetres squaremeters"},
	{"in²", Area, US, cm2PerInch2, "in2 in^2 sqin insq sqinch sqinches squarein squareinch squareinches"},
	{"ft²", Area, US, 144 * cm2PerInch2, "ft2 ft^2 sqft ftsq squarefeet squarefoot"},
	{"cm³", Volume, Metric, 1, "cm3 cm^3 cc ccm ml"},
	{"in³", Volume, US, cm3PerInch3, "in3 in^3 cuin"},
	{"g/m²", Grammage, Metric, 1, "g/m2 g/m^2 gsm"},
	{"oz/yd²", Grammage, US, gPerOunce / m2PerYard2, "oz/yd2 oz/yd^2"},
	{"g/cm²", Surface, Metric, 1, "g/cm2 g/cm^2"},
	{"oz/in²", Surface, US, gPerOunce / cm2PerInch2, "oz/in2 oz/in^2"},
	{"g/cm³", Density, Metric, 1, "g/cm3 g/cm^3 g/cc"},
	{"kg/m³", Density, Metric, 0.001, "kg/m3 kg/m^3"},
	{"%", Percent, Either, 1, "percent pct percentage"},
	{"µm", Particle, Either, 1, "um micron microns micrometre micrometres micrometer micrometers"},
	{"mm²", Opening, Metric, 1, "mm2 mm^2 sqmm"},
	{"bar", Pressure, Metric, 1, "bars"},
	{"kPa", Pressure, Metric, 0.01, "kilopascal kilopascals"},
	{"MPa", Pressure, Metric, 10, "megapascal megapascals"},
	{"psi", Pressure, US, barPerPsi, "psig lb/in2 psid"},
	{"L/min", Flow, Metric, 1, "lpm lmin litresmin literspermin litresperminute"},
	{"gal/min", Flow, US, lPerGallon, "gpm usgpm galmin galpermin"},
	{"in²", Opening, US, 100 * cm2PerInch2, "in2 in^2 sqin"},
}

var index = makeIndex()

type key struct {
	dimension Dimension
	name      string
}

func makeIndex() map[key]Unit {
	m := make(map[key]Unit, 4*len(table))
	for _, u := range table {
		m[key{u.Dimension, Key(u.Symbol)}] = u
		for _, n := range strings.Fields(u.names) {
			m[key{u.Dimension, Key(n)}] = u
		}
	}
	return m
}

// Key returns the form in which spellings of a unit are compared: lower case,
// without spaces, dots, hyphens and underscores, u for the micro sign and plain
// digits for superscripts.
func Key(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r), r == '.', r == '_', r == '-':
			return -1
		case r == 'μ', r == 'µ':
			return 'u'
		case r == '²':
			return '2'
		case r == '³':
			return '3'
		}
		return unicode.ToLower(r)
	}, s)
}

// Find looks up a unit of a dimension by any of its spellings.
func Find(name string, d Dimension) (Unit, bool) {
	if u, ok := index[key{d, name}]; ok { // most names are already keys
		return u, true
	}
	u, ok := index[key{d, Key(name)}]
	return u, ok
}

// Any looks up a unit in every dimension, in the order of the table.
func Any(name string) (Unit, bool) {
	k := Key(name)
	for _, u := range table {
		if f, ok := index[key{u.Dimension, k}]; ok {
			return f, true
		}
	}
	return Unit{}, false
}

// Base returns the base unit of a dimension.
func Base(d Dimension) Unit {
	for _, u := range table {
		if u.Dimension == d && u.Base == 1 {
			return u
		}
	}
	return Unit{}
}

// Error is returned for an unknown unit, or for two units of different
// dimensions.
type Error struct{ From, To string }

func (e *Error) Error() string {
	for _, name := range []string{e.From, e.To} {
		if _, ok := Any(name); !ok {
			return fmt.Sprintf("unknown unit %q", name)
		}
	}
	return fmt.Sprintf("%s and %s measure different things", e.From, e.To)
}

// Convert converts a value between two units of the same dimension.
func Convert(v float64, from, to string) (float64, error) {
	for _, u := range table {
		f, ok := index[key{u.Dimension, Key(from)}]
		if !ok {
			continue
		}
		if t, ok := Find(to, u.Dimension); ok {
			if f.Symbol == t.Symbol {
				return v, nil
			}
			return v * f.Base / t.Base, nil
		}
	}
	return 0, &Error{From: from, To: to}
}
