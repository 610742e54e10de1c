package units

import (
	"errors"
	"math"
	"testing"
)

// TestFactors checks the conversions against NIST Special Publication 811
// (2008), appendix B.8, which prints exact factors in bold, and against the
// densities and grammages that follow from them. From memory.
func TestFactors(t *testing.T) {
	for _, c := range []struct {
		v        float64
		from, to string
		want     float64
		relative float64
	}{
		{1, "in", "mm", 25.4, 0},              // inch: 2.54 E−02 m, exact
		{1, "mil", "mm", 0.0254, 0},           // mil (0.001 in): 2.54 E−05 m, exact
		{1, "ft", "mm", 304.8, 1e-15},         // foot: 3.048 E−01 m, exact
		{1, "in2", "cm2", 6.4516, 0},          // square inch: 6.4516 E−04 m², exact
		{1, "in3", "cm3", 16.387064, 1e-7},    // cubic inch: 1.638 706 E−05 m³
		{1, "ft2", "m2", 0.09290304, 1e-15},   // square foot: 9.290 304 E−02 m², exact
		{1, "oz", "g", 28.349523125, 0},       // ounce (avoirdupois): 2.834 952 E−02 kg
		{1, "lb", "g", 453.59237, 0},          // pound (avoirdupois): 4.535 923 7 E−01 kg, exact
		{1, "oz/yd²", "g/m²", 33.90575, 1e-7}, // ounce per square yard: 3.390 575 E−02 kg/m²
		{25.4, "mm", "in", 1, 1e-15},          //
		{1, "micron", "mm", 0.001, 0},         // micron: 1.0 E−06 m, exact
		{1, "cm", "mm", 10, 0},                //
		{1, "kg", "g", 1000, 0},               //
		{99, "%", "percent", 99, 0},           //
		{1, "sq in", "sq. cm", 6.4516, 0},     // spellings
		{1, "Inches", "MM", 25.4, 0},          //
		{7.6, "g", "g", 7.6, 0},               //
		{7850, "kg/m³", "g/cm³", 7.85, 1e-15}, //
	} {
		got, err := Convert(c.v, c.from, c.to)
		if err != nil || math.Abs(got-c.want) > c.relative*c.want {
			t.Errorf("%v %s is %v %s (%v), want %v", c.v, c.from, got, c.to, err, c.want)
		}
	}
	for _, pair := range [][2]string{{"mm", "g"}, {"mm", "parsec"}, {"", "mm"}, {"cm²", "cm³"}} {
		var e *Error
		if _, err := Convert(1, pair[0], pair[1]); !errors.As(err, &e) {
			t.Errorf("%s to %s: %v", pair[0], pair[1], err)
		}
	}
}

// TestThereAndBack converts between every two units of a dimension and back.
func TestThereAndBack(t *testing.T) {
	for _, a := range table {
		for _, b := range table {
			if a.Dimension != b.Dimension {
				continue
			}
			there := 3.7 * a.Base / b.Base
			if back := there * b.Base / a.Base; math.Abs(back-3.7) > 1e-14 {
				t.Errorf("%s to %s and back: %v", a.Symbol, b.Symbol, back)
			}
		}
		if _, ok := Find(a.Symbol, a.Dimension); !ok {
			t.Errorf("%s is not found by its own symbol", a.Symbol)
		}
		if Base(a.Dimension).Base != 1 {
			t.Errorf("%s has no base unit", a.Dimension)
		}
	}
}
