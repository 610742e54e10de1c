package catalogue

import "testing"

// Consistency of the catalogue's entries.
func TestColumnFacts(t *testing.T) {
	for c := range Recorded() {
		if c.Kind == KindCount && (c.One == "" || c.Many == "") {
			t.Errorf("%s says not what is counted", c.Name)
		}
		if c.Whole && c.Kind != KindCount {
			t.Errorf("%s is whole and no count", c.Name)
		}
		if c.Numeric() && c.Kind != KindMoney && !(c.Possible.High > c.Possible.Low) {
			t.Errorf("%s has no possible range", c.Name)
		}
		if in := c.Common; in != (Range{}) && (in.Low < c.Possible.Low || in.High > c.Possible.High) {
			t.Errorf("%s: what is common is not possible", c.Name)
		}
		if u := c.Usual; u.Middle != 0 && (u.Middle < c.Possible.Low || u.Middle > c.Possible.High) {
			t.Errorf("%s: what is usual is not possible", c.Name)
		}
		if c.Kind.AssumedUnits() != nil && c.Common == (Range{}) {
			t.Errorf("%s: nothing tells its unit where the header names none", c.Name)
		}
	}
	for name, want := range map[string]string{
		"pleats": "pleats", "can_gauge": "can gauge", "price_per_area": "price per area", "price_per_100g": "price per mass",
		"opened": "date opened", "drain_back": "drain-back valve", "own column": "own column",
	} {
		if got := Words(name); got != want {
			t.Errorf("%s is said as %q, want %q", name, got, want)
		}
	}
	if Spoken("pleats") != "pleat count" || AxisName("pleats") != "number of pleats" || AxisName("can_od") != "can diameter" {
		t.Error("spoken names of pleats or can_od are wrong")
	}
}
