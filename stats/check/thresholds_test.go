package check

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
)

// one reads a log of one opening with the given cells.
func one(t *testing.T, cells ...string) *Result {
	t.Helper()
	header, line := "maker,part", "Skerrow,SK 1"
	for _, c := range cells {
		name, text, _ := strings.Cut(c, "=")
		header, line = header+","+name, line+","+text
	}
	return run(t, read(t, header+"\n"+line+"\n"))
}

func cell(name string, v float64) string { return fmt.Sprintf("%s=%.9g", name, v) }

// The possible range of every numeric column, on both sides of both ends. Counts
// must be whole and not negative.
func TestPossibleRangeOfEveryColumn(t *testing.T) {
	for c := range catalogue.Recorded() {
		if !c.Numeric() || c.Name == "price" || c.Name == "rate" || c.Name == "pack_quantity" {
			continue
		}
		header := c.Name
		if c.Unit != "" && c.Unit != "%" && c.Unit != "µm" {
			header += " (" + c.Unit + ")"
		}
		impossible := func(v float64) bool {
			r := one(t, fmt.Sprintf("%s=%g", header, v))
			return len(r.SetAside) == 1 && r.SetAside[0].Column == c.Name
		}
		step := func(v, by float64) float64 {
			if c.Whole {
				return v + by
			}
			return v * (1 + by/100)
		}
		low, high := c.Possible.Low, c.Possible.High
		if high == 0 {
			t.Errorf("%s has no upper end", c.Name)
			continue
		}
		if impossible(step(high, -1)) || c.Kind != catalogue.KindPercent && !impossible(step(high, 1)) {
			t.Errorf("%s: the upper end %g does not hold", c.Name, high)
		}
		if low > 0 && (impossible(step(low, 1)) || !impossible(step(low, -1))) {
			t.Errorf("%s: the lower end %g does not hold", c.Name, low)
		}
		if impossible(0) == c.MayBeZero {
			t.Errorf("%s: zero is impossible %v, may be %v", c.Name, impossible(0), c.MayBeZero)
		}
		if !impossible(-3) {
			t.Errorf("%s of -3 is taken", c.Name)
		}
		if c.Whole && (!impossible(math.Floor((low+high)/2)+0.5) || impossible(math.Floor((low+high)/2))) {
			t.Errorf("%s: a half is taken, or a whole is not", c.Name)
		}
	}
	if len(numericColumns()) >= maxMeasures {
		t.Errorf("%d numeric columns, and a set holds %d", len(numericColumns()), maxMeasures)
	}
}

// Repeated counts may have a mean that is not a whole number.
func TestCountsTakenTwice(t *testing.T) {
	for text, aside := range map[string]int{"66; 67": 0, "66; 66.5": 1, "7.5": 1, "-3": 1, "66": 0} {
		if r := one(t, "pleats="+text); len(r.SetAside) != aside {
			t.Errorf("%q: set aside %v, %+v", text, r.SetAside, r.Problems)
		}
	}
}

// Each limit, just inside and just beyond, with sizes and masses that break
// nothing else.
func TestLimitsOnBothSides(t *testing.T) {
	surface := (math.Pi*76*80 + math.Pi/4*76*76) / 100 // cm²
	can := func(factor, density float64, more ...string) []string {
		return append([]string{"can_od_mm=76", "can_height_mm=80", "can_gauge_mm=0.45", cell("can_mass_g", factor*surface*0.045*density)}, more...)
	}
	// 100 cm by 5 cm: 500 cm² weigh grammage/20 g.
	media := func(grammage, density float64, kind string) []string {
		return []string{"media_length_mm=1000", "element_width_mm=50", cell("media_mass_g", grammage/20), cell("media_thickness_mm", grammage/density/1000), "media_type=" + kind}
	}
	// A pack of OD 70 with pleats 10 deep: 157.08 mm at the inner ends.
	pack := func(excess float64) []string {
		return []string{"element_od_mm=70", "pleats=60", "media_length_mm=1200", cell("media_thickness_mm", excess*math.Pi*50/120)}
	}
	for _, c := range []struct {
		name        string
		within, out []string
	}{
		{"parts outweigh the whole", []string{"total_mass_g=100", cell("can_mass_g", 50), cell("element_mass_g", 100*(1+0.03)-50.1)}, []string{"total_mass_g=100", "can_mass_g=50", cell("element_mass_g", 100*(1+0.03)-49.9)}},
		{"media heavier than its element", []string{"element_mass_g=20", cell("media_mass_g", 19.9*(1+0.03))}, []string{"element_mass_g=20", cell("media_mass_g", 20.1*(1+0.03))}},
		{"can too heavy for steel", can(2.0*0.99, 7.85), can(2.0*1.01, 7.85)},
		{"can too light for steel", can(1.01/2.0, 7.85), can(0.99/2.0, 7.85)},
		{"aluminium by its own density", can(2.0*0.99, 2.70, "can_material=aluminium"), can(2.0*1.01, 2.70, "can_material=aluminium")},
		{"aluminium as steel", can(1, 2.70, "can_material=aluminium"), can(1, 2.70, "can_material=steel")},
		{"plastic has no density to go by", can(1, 0.95*7.85/7.85, "can_material=plastic"), can(1, 0.95, "can_material=")},
		{"element wider than the can is tall", []string{"can_height_mm=80", cell("element_width_mm", 79.9*(1+0.05))}, []string{"can_height_mm=80", cell("element_width_mm", 80.1*(1+0.05))}},
		{"usable width beyond the strip", []string{"strip_width_mm=50", cell("element_width_mm", 49.9*(1+0.05))}, []string{"strip_width_mm=50", cell("element_width_mm", 50.1*(1+0.05))}},
		{"gasket wider than the can", []string{"can_od_mm=70", cell("gasket_od_mm", 69.9*(1+0.05))}, []string{"can_od_mm=70", cell("gasket_od_mm", 70.1*(1+0.05))}},
		{"element wider than the can", []string{"can_od_mm=70", cell("element_od_mm", 69.9*(1+0.05))}, []string{"can_od_mm=70", cell("element_od_mm", 70.1*(1+0.05))}},
		{"core wider than the element", []string{"element_od_mm=70", cell("core_id_mm", 69.9*(1+0.05))}, []string{"element_od_mm=70", cell("core_id_mm", 70.1*(1+0.05))}},
		{"pleats deeper than the can", []string{"can_od_mm=70", "pleats=20", cell("media_length_mm", 20*69.9*(1+0.05))}, []string{"can_od_mm=70", "pleats=20", cell("media_length_mm", 20*70.1*(1+0.05))}},
		{"pleats round the core", []string{"element_od_mm=70", "core_id_mm=40", "pleats=40", cell("media_length_mm", 40*29.9*(1+0.05))}, []string{"element_od_mm=70", "core_id_mm=40", "pleats=40", cell("media_length_mm", 40*35.0*(1+0.05))}},
		{"folds", pack(1.25 * 0.99), pack(1.25 * 1.01)},
		{"light media", media(20.0*1.01, 0.1, "cellulose"), media(20.0*0.99, 0.1, "cellulose")},
		{"heavy media", media(800.0*0.99, 0.4, "synthetic"), media(800.0*1.01, 0.4, "synthetic")},
		{"heavy wire-backed media", media(4000.0*0.99, 2, "wire-backed synthetic"), media(4000.0*1.01, 2, "wire-backed synthetic")},
		{"wire is no paper", media(1500, 2, "mesh"), media(1500, 2, "cellulose")},
		{"airy media", media(100, 0.03*1.01, "cellulose"), media(100, 0.03*0.99, "cellulose")},
		{"dense media", media(200, 1.5*0.99, "cellulose"), media(200, 1.5*1.01, "cellulose")},
		{"dense mesh", media(1500, 4.0*0.99, "mesh"), media(1500, 4.0*1.01, "mesh")},
	} {
		if r := one(t, c.within...); len(r.SetAside) != 0 {
			t.Errorf("%s, within: set aside %v: %+v", c.name, r.SetAside, r.Problems)
		}
		if r := one(t, c.out...); len(r.SetAside) == 0 {
			t.Errorf("%s, beyond: nothing set aside", c.name)
		}
	}
}

// 60 pleats of 0.8 mm, 25 mm deep, in a pack of 70 mm need 96 mm at their inner
// ends and have π(70 − 50) = 62.8 mm: worked by hand.
func TestFoldsThatCannotFit(t *testing.T) {
	r := one(t, "element_od_mm=70.0", "pleats=60", "media_length_mm=3000.0", "media_thickness_mm=0.80")
	if len(r.Problems) != 1 || !strings.Contains(r.Problems[0].Message, "need 96.00 mm round their inner ends, and there are 62.83 mm") {
		t.Errorf("%+v", r.Problems)
	}
}

// Folds that touch are noted once per product, and nothing is set aside.
func TestFoldsTouchOnBothSides(t *testing.T) {
	pack := func(excess float64) *Result {
		row := fmt.Sprintf("Skerrow,SK 1,70,60,1200,%.6g,", excess*math.Pi*50/120)
		return run(t, read(t, "maker,part,element_od_mm,pleats,media_length_mm,media_thickness_mm,can_height_mm\n"+row+"80\n"+row+"80.1\n"))
	}
	if r := pack(1.0 * 0.99); len(r.Problems) != 0 {
		t.Errorf("room enough: %+v", r.Problems)
	}
	if r := pack(1.0 * 1.01); len(only(r, "pleats")) != 1 || only(r, "pleats")[0].Severity != dataset.Note || len(r.SetAside) != 0 {
		t.Errorf("touching: %+v", r.Problems)
	}
}

// A bench whose micrometer reads 0.13 mm too much on every can.
func TestCalibrationOnBothSides(t *testing.T) {
	bench := func(n int, ratio, more float64) *Result {
		text := "maker,part,can_od_mm,can_height_mm,can_gauge_mm,can_mass_g\n"
		for i := range n {
			od, height, gauge := 70+float64(i%7), 75+float64(i%11), 0.40+0.01*float64(i%9)
			text += fmt.Sprintf("Skerrow,SK %d,%.1f,%.1f,%.4f,%.3f\n", i, od, height, gauge*ratio+more, (math.Pi*od*height+math.Pi/4*od*od)/100*gauge/10*7.85)
		}
		return run(t, read(t, text))
	}
	r := bench(40, 1, 0.13)
	if k := r.Calibration; !k.Off || k.Cans != 40 || math.Abs(k.Difference-0.13) > 1e-3 || k.Ratio < 1.25 || k.Ratio > 1.35 || k.Low > k.Ratio || k.High < k.Ratio {
		t.Errorf("%+v", k)
	}
	if len(r.Problems) != 1 || !strings.Contains(r.Problems[0].Message, "0.1300 mm more in the middle") && !strings.Contains(r.Problems[0].Message, "0.13 mm more") {
		t.Errorf("told %+v", r.Problems)
	}
	for _, c := range []struct {
		n     int
		ratio float64
		off   bool
	}{
		{40, 1 + 0.10*0.99, false}, {40, 1 + 0.10*1.02, true}, {40, 1 / (1 + 0.10*0.98), false}, {40, 1 / (1 + 0.10*1.02), true},
		{8, 1.3, true}, {8 - 1, 1.3, false},
	} {
		k := bench(c.n, c.ratio, 0).Calibration
		if k.Off != c.off || (c.n < 8) != math.IsNaN(k.Ratio) {
			t.Errorf("%d cans at %.3f: %+v", c.n, c.ratio, k)
		}
	}
}

// The interval of a median lies between the k-th readings from either end; at 95
// % and n = 8, 10, 20, 50 k is 1, 2, 6 and 18 (tables of the sign test, from
// memory).
func TestOrderedEndsRule(t *testing.T) {
	for n, want := range map[int]int{8: 1, 10: 2, 20: 6, 50: 18} {
		if got := ordered(n) + 1; got != want {
			t.Errorf("n = %d: the %d. reading from either end, want the %d.", n, got, want)
		}
	}
}

func TestBypassSprings(t *testing.T) {
	head := "maker,part,bypass,bypass_spring,pleats\n"
	r := run(t, read(t, head+"Skerrow,SK 1,none,leaf,50\nSkerrow,SK 2,none,coil,51\nSkerrow,SK 3,dome,coil,52\n"))
	if len(r.Problems) != 1 || r.Problems[0].Line != 2 || r.Problems[0].Severity != dataset.Note || !strings.Contains(r.Problems[0].Message, "one line more") {
		t.Errorf("%+v", r.Problems)
	}
	if r := run(t, read(t, head+"Skerrow,SK 1,none,none,50\nSkerrow,SK 2,none,,51\nSkerrow,SK 3,dome,coil,52\n")); len(r.Problems) != 0 {
		t.Errorf("%+v", r.Problems)
	}
}
