package catalogue

import "testing"

func TestColumnsAreCopies(t *testing.T) {
	c := Columns()
	c[0].Name, c[1].Synonyms[0] = "x", "x"
	DerivedColumns()[0].Name = "x"
	if again := Columns(); again[0].Name != "opened" || again[1].Synonyms[0] == "x" || DerivedColumns()[0].Name != "media_area" {
		t.Error("Columns gives its own table away")
	}
}

// Consistency of the catalogue's entries.
func TestColumnFacts(t *testing.T) {
	for _, c := range Columns() {
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
	for name, want := range map[string]string{"pleats": "pleats", "can_gauge": "can gauge", "opened": "date opened", "drain_back": "drain-back valve", "own column": "own column"} {
		if got := Words(name); got != want {
			t.Errorf("%s is said as %q, want %q", name, got, want)
		}
	}
	if Spoken("pleats") != "pleat count" || AxisName("pleats") != "number of pleats" || AxisName("can_od") != "can diameter" {
		t.Error("spoken names of pleats or can_od are wrong")
	}
}
