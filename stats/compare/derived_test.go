package compare

import (
	"math"
	"slices"
	"testing"

	"pleatstat/stats/price"
)

// The error of an area is propagated from length and width to first order (JCGM
// 100:2008, 5.1.2).
func TestErrorOfADerivedMeasure(t *testing.T) {
	text := `maker,part,media_length_mm,element_width_mm,media_mass_g
Skerrow,SK 1,1000; 1004; 996,50.0; 50.2; 49.8,10.0; 10.1; 9.9
Lowmere,L 1,1010,50.1,10.3
`
	c, err := Parts(read(t, text), []price.Product{{Maker: "Skerrow", Part: "SK 1"}, {Maker: "Lowmere", Part: "L 1"}}, nil, Options{})
	if err != nil {
		t.Fatal(err)
	}
	// One reading: 4 mm, 0.2 mm and 0.1 g, 2 degrees of freedom each.
	area := measure(t, c, "media_area")
	one := func(length, width, readings float64) float64 {
		return length * width / 100 * math.Hypot(4/length, 0.2/width) / math.Sqrt(readings)
	}
	near(t, "error of the first area", area.Values[0].SE, one(1000, 50, 3))
	near(t, "error of the second area", area.Values[1].SE, one(1010, 50.1, 1))
	// Student's t with 2 degrees of freedom at 97.5 %: 4.302653 (handbook table).
	limit := 4.302653 * math.Hypot(area.Values[0].SE, area.Values[1].SE)
	if got := area.Differences[0].Limit; math.Abs(got/limit-1) > 1e-6 || area.Differences[0].Beyond {
		t.Errorf("limit of the area %g, want %g: %+v", got, limit, area)
	}
	grammage := measure(t, c, "grammage")
	relative := math.Hypot(0.1/10.3, math.Hypot(4/1010.0, 0.2/50.1))
	near(t, "error of the grammage", grammage.Values[1].SE, grammage.Values[1].Mean*relative)
}

// Three products: each is compared with the first, and the one with most with the
// next.
func TestThreeProducts(t *testing.T) {
	log := read(t, twoParts)
	names := []price.Product{skerrow, lowmere, {Maker: "Wexcombe", Part: "W 610"}}
	before := slices.Clone(names)
	c, err := Parts(log, names, nil, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(before, names) {
		t.Error("the list of products was changed")
	}
	gauge := measure(t, c, "can_gauge")
	if len(gauge.Differences) != 2 {
		t.Fatalf("%d differences of three products", len(gauge.Differences))
	}
	near(t, "third against first", gauge.Differences[1].By, 0.45-0.48)
	near(t, "third over first", gauge.Differences[1].Ratio, 0.45/0.48)
	if mass := measure(t, c, "total_mass"); mass.Most != 0 {
		t.Errorf("202.0 g is more than 200.1 g and 180.5 g: %+v", mass)
	}
	for _, m := range c.Measures {
		if len(m.Values) != 3 {
			t.Errorf("%s has %d values", m.Column, len(m.Values))
		}
	}
}

// The surface of a can, worked by hand, and a thickness whose formula includes
// the material: both have the relative error of what they are computed from.
func TestErrorsThroughFormulas(t *testing.T) {
	text := `maker,part,can_od_mm,can_height_mm,can_mass_g,can_material
Skerrow,SK 1,76.0; 76.2; 75.8,80.0; 80.4; 79.6,90.0; 90.2; 89.8,aluminium
Lowmere,L 1,76.0,80.0,91.0,steel
`
	c, err := Parts(read(t, text), []price.Product{{Maker: "Skerrow", Part: "SK 1"}, {Maker: "Lowmere", Part: "L 1"}}, nil, Options{})
	if err != nil {
		t.Fatal(err)
	}
	// One reading: 0.2 mm, 0.4 mm, 0.2 g.
	surface := measure(t, c, "can_surface").Values[1]
	near(t, "surface", surface.SE, math.Hypot(math.Pi*(80+76/2.0)*0.2, math.Pi*76*0.4)/100)
	perArea := measure(t, c, "can_mass_per_area")
	near(t, "mass per area", perArea.Values[1].SE/perArea.Values[1].Mean, math.Hypot(0.2/91, surface.SE/surface.Mean))
	implied := measure(t, c, "implied_gauge")
	for k, v := range implied.Values {
		near(t, "implied gauge", v.SE/v.Mean, perArea.Values[k].SE/perArea.Values[k].Mean)
	}
}
