package plots

import (
	"bytes"
	"testing"

	"pleatstat/plots/page"
	"pleatstat/plots/words"
)

// A highlighted part must be named even if it is not flagged, whatever the case and
// white space of the name asked for.
func TestHighlightNamesThePart(t *testing.T) {
	tr, flags := priceTrend(58)
	flagged := map[string]bool{}
	for _, f := range flags {
		flagged[words.Name(f.Maker, f.Part)] = true
	}
	part := ""
	for _, q := range tr.Points {
		if n := words.Name(q.Maker, q.Part); !flagged[n] {
			part = n
			break
		}
	}
	draw := func(highlight string) []byte {
		b, err := Render(mustTrend(t, tr, flags), Options{Format: SVG, Highlight: highlight})
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	label := []byte(">" + part + "</text>")
	if bytes.Contains(draw(""), label) {
		t.Fatalf("%s is named unasked", part)
	}
	for _, asked := range []string{part, "  " + string(bytes.ToUpper([]byte(part)))} {
		if !bytes.Contains(draw(asked), label) {
			t.Errorf("%q: no name on the chart", asked)
		}
	}
	if !bytes.Equal(draw("nobody's part"), draw("")) {
		t.Error("a part that is not there changes the chart")
	}
}

// With ByMaker, every maker must have a mark of its own and an entry in the legend.
func TestMarksByMaker(t *testing.T) {
	tr, _ := priceTrend(58)
	c := mustTrend(t, tr, nil)
	p := page.New(&textCanvas{w: 400, h: 300}, Light.colours())
	looks := map[string]string{}
	for _, maker := range c.makers {
		s, colour := c.makers.look(p, maker)
		key := string(rune('a'+s)) + string([]byte{colour.R, colour.G, colour.B})
		if other, taken := looks[key]; taken {
			t.Errorf("%s and %s have the same mark", maker, other)
		}
		if looks[key] = maker; s == page.TriangleUp || s == page.TriangleDown {
			t.Errorf("%s has the mark of a flag", maker)
		}
	}
	b, err := Render(c, Options{Format: SVG, ByMaker: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, maker := range makers() {
		if !bytes.Contains(b, []byte(">"+maker+"</text>")) {
			t.Errorf("%s is not in the key", maker)
		}
	}
}
