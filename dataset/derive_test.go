package dataset

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pleatstat/dataset/catalogue"
)

// TestTradeFacts checks figures known to everyone who measures such parts.
// Common practice, no source.
func TestTradeFacts(t *testing.T) {
	l := mustRead(t, `maker,part,media_length_in,element_width_in,pleats,media_mass_g,total_mass_g,base_plate_mass_g,element_mass_g,can_mass_g,can_gauge_mm
,first,36.5,1.51,51,7.6,162.3,82.7,30.7,34.7,0.40; 0.41
,second,56.5,1.32,68,9.1,,,,,0.59; 0.60
`, Options{})
	u := l.Units()
	for _, c := range []struct {
		column string
		row    int
		want   string
	}{
		{"media_area", 0, "55.1 in²"}, {"media_area", 1, "74.6 in²"},
		{"grammage", 0, "214 g/m²"}, {"grammage", 1, "189 g/m²"},
	} {
		if got := u.Format(c.column, l.Floats(c.column)[c.row]); got != c.want {
			t.Errorf("%s of row %d is %s, want %s", c.column, c.row, got, c.want)
		}
	}
	for row, want := range []float64{0.36, 0.42} {
		if got := l.Floats("pleat_depth")[row] / 25.4; math.Round(got*100)/100 != want {
			t.Errorf("pleats are %v in deep, want %v", got, want)
		}
	}
	area := l.Floats("media_area")
	if more := (area[1] - area[0]) / 6.4516; math.Round(more) != 19 && math.Round(more) != 20 {
		t.Errorf("%v in² more, want about 20", more)
	}
	if rest := l.Floats("other_mass")[0]; !near(rest, 162.3-82.7-30.7-34.7, 1e-12) || rest < 0 {
		t.Errorf("the parts leave %v g of the whole", rest)
	}
	// Readings of 0.40 and 0.41 mm: their standard deviation is 0.01/√2.
	if r := l.Repeatability("can_gauge"); r.Cells != 2 || r.Readings != 4 || r.DF != 2 || !near(r.SD, 0.01/math.Sqrt2, 1e-9) {
		t.Errorf("gauge repeats to %+v", r)
	}
}

// TestSteelDensity: a can of 7.85 g/cm³ (unalloyed steel in handbook tables,
// from memory) has a mass of its surface times its gauge times that density, so
// the gauge can be recovered from the mass.
func TestSteelDensity(t *testing.T) {
	const od, height, gauge = 76.2, 88.9, 0.47 // mm
	surface := (math.Pi*od*height + math.Pi/4*od*od) / 100
	mass := surface * gauge / 10 * 7.85
	l := mustRead(t, fmt.Sprintf("maker,part,can_od_mm,can_height_mm,can_mass_g,can_gauge_mm\nSkerrow,SK-1,%v,%v,%.17g,%v\n", od, height, mass, gauge), Options{})
	if got := l.Floats("implied_gauge")[0]; !near(got, gauge, 1e-12) {
		t.Errorf("implied gauge %v, want %v", got, gauge)
	}
	if got := l.Floats("can_mass_per_area")[0] / (gauge / 10); !near(got, 7.85, 1e-12) {
		t.Errorf("density %v, want 7.85", got)
	}
}

// TestBetaRatio: ISO 16889 and ISO 4548-12 define the filtration ratio β as the
// particle count upstream over the count downstream, so that efficiency is 1 −
// 1/β (definition from memory). The values are this formula to 15 digits, among
// them the usual pairs: 75 is 98.67 %, 100 is 99 %, 200 is 99.5 %.
func TestBetaRatio(t *testing.T) {
	efficiency := map[string]float64{ // percent
		"50": 2, "90": 10, "95": 20, "98.666666666666667": 75, "99": 100, "99.5": 200, "99.9": 1000, "99.95": 2000,
		"0": 1, "100": math.NaN(),
	}
	for text, want := range efficiency {
		l := mustRead(t, "maker,part,claim_test,claimed_efficiency_percent\nSkerrow,SK-1,multi-pass,"+text+"\nSkerrow,SK-2,ISO 4548-12,60\n", Options{})
		if got := l.Floats("beta_ratio")[0]; !near(got, want, 1e-11) {
			t.Errorf("%s %%: %v, want %v", text, got, want)
		}
	}
}

// TestFormulas computes every derived measure of one full row by hand.
func TestFormulas(t *testing.T) {
	l := mustRead(t, `maker,part,price,can_od_mm,can_height_mm,total_mass_g,base_plate_mass_g,element_mass_g,can_mass_g,media_mass_g,spring_mass_g,inlet_holes,inlet_hole_diameter_mm,pleats,element_width_mm,element_od_mm,media_length_mm,media_thickness_mm,media_area_cm2
Skerrow,SK-1,10,80,100,200,80,40,60,8,5,8,6,50,40,60,1000,0.5,999
Skerrow,SK-2,10,80,100,200,80,40,60,8,,8,6,50,,60,1000,0.5,350
Skerrow,SK-3,10,0,0,0,,,,0,,0,0,0,0,0,0,0,0
`, Options{})
	surface := (math.Pi*80*100 + math.Pi/4*6400) / 100
	for name, want := range map[string][2]float64{
		"media_area":        {400, 350}, // the logged area only where the width is blank
		"pleat_depth":       {10, 10},
		"pleat_pitch":       {math.Pi * 60 / 50, math.Pi * 60 / 50},
		"grammage":          {200, 8 / 0.035},
		"media_density":     {0.4, 8 / 350.0 / 0.05},
		"media_volume":      {20, 17.5},
		"can_surface":       {surface, surface},
		"can_mass_per_area": {60 / surface, 60 / surface},
		"implied_gauge":     {60 / surface / 7.85 * 10, 60 / surface / 7.85 * 10},
		"other_mass":        {15, 20},
		"price_per_area":    {2.5, 1000 / 350.0},
		"price_per_100g":    {5, 5},
		"inlet_open_area":   {8 * math.Pi * 9, 8 * math.Pi * 9},
	} {
		got := l.Floats(name)
		if got == nil || !near(got[0], want[0], 1e-12) || !near(got[1], want[1], 1e-12) {
			t.Errorf("%s is %v, want %v", name, got, want)
		}
	}
	for d := range catalogue.Derived() {
		if got := l.Floats(d.Name); got != nil && math.IsInf(got[2], 0) {
			t.Errorf("%s of zeros is %v", d.Name, got[2])
		}
	}
}

func TestResolution(t *testing.T) {
	var b strings.Builder
	b.WriteString("maker,part,can_gauge_mm,media_length_in,total_mass_g,pleats,element_width_in\n")
	for i := range 40 {
		fmt.Fprintf(&b, "Skerrow,SK-%d,0.%d,%d %d/8,%d.%d,%d,1.%02d\n", i, 40+i%17, 30+i, 1+i%7, 150+i, i%10, 50+i, i)
	}
	l := mustRead(t, b.String(), Options{})
	for name, want := range map[string]float64{"can_gauge": 0.01, "media_length": 25.4 / 8, "total_mass": 0.1, "pleats": 1, "element_width": 0.254, "magnet": math.NaN()} {
		if got := l.Resolution(name); !near(got, want, 1e-9) {
			t.Errorf("%s is logged in steps of %v, want %v", name, got, want)
		}
	}
	// A tape read mostly in tenths and sometimes in eighths.
	b.Reset()
	b.WriteString("maker,part,media_length_in\n")
	for i := range 30 {
		fmt.Fprintf(&b, "Skerrow,SK-%d,%d.%d\nSkerrow,SK-%d,%d.%d\nSkerrow,SK-%d,%d %d/8\n", i, 30+i, i%10, i, 31+i, (i+3)%10, i, 30+i, 1+2*(i%4))
	}
	if got := mustRead(t, b.String(), Options{}).Resolution("media_length"); !near(got, 2.54, 1e-9) {
		t.Errorf("tenths and eighths have a step of %v mm", got)
	}
	few := mustRead(t, "maker,part,pleats\nSkerrow,SK-1,51\n", Options{})
	if got := few.Resolution("pleats"); !math.IsNaN(got) {
		t.Errorf("one value has a step of %v", got)
	}
}

// Implied gauge by the can's material: 7.85 and 2.70 g/cm³ are handbook values
// for steel and aluminium; other materials have no density here. The retainer
// is one of the parts subtracted for other_mass.
func TestImpliedGaugeByMaterial(t *testing.T) {
	l := mustRead(t, "maker,part,can_od_mm,can_height_mm,can_mass_g,can_material,total_mass_g,base_plate_mass_g,element_mass_g,retainer_mass_g\n"+
		"Skerrow,SK 1,80,100,60,steel,200,60,40,8\nSkerrow,SK 2,80,100,60,aluminum,200,60,40,\nSkerrow,SK 3,80,100,60,plastic,200,60,40,\nSkerrow,SK 4,80,100,60,,200,60,40,\n", Options{})
	surface := (math.Pi*80*100 + math.Pi/4*6400) / 100
	for name, want := range map[string][]float64{
		"implied_gauge": {60 / surface / 7.85 * 10, 60 / surface / 2.70 * 10, math.NaN(), 60 / surface / 7.85 * 10},
		"other_mass":    {32, 40, 40, 40},
	} {
		for _, log := range []*Log{l, l.SetAside([]CellRef{{Row: 9, Column: "can_mass"}})} {
			for i, v := range log.Floats(name) {
				if !near(v, want[i], 1e-12) {
					t.Errorf("%s: %v, want %v", name, log.Floats(name), want)
					break
				}
			}
		}
	}
}

// Pressure and flow units, NIST SP 811, appendix B: 1 psi is 6.894 757 kPa, 1
// US gallon is 3.785 412 L.
func TestPressureAndFlow(t *testing.T) {
	l := mustRead(t, "maker,part,bypass_opening_measured_psi,rated_flow (gal/min)\nSkerrow,SK 1,10,5\nSkerrow,SK 2,80 kPa,20 L/min\n", Options{})
	p, f := l.Floats("bypass_opening_measured"), l.Floats("rated_flow")
	if !near(p[0], 0.6894757, 1e-6) || !near(p[1], 0.8, 1e-12) || !near(f[0], 18.92706, 1e-6) || !near(f[1], 20, 1e-12) {
		t.Errorf("%v, %v: %+v", p, f, l.Problems())
	}
	if got := l.Units().Format("bypass_opening_measured", p[0]); got != "10 psi" {
		t.Errorf("shown as %s", got)
	}
}
