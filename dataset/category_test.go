package dataset

import (
	"slices"
	"strings"
	"testing"
)

// Common practice, no source: what the words mean at a bench.
func TestCategoryWords(t *testing.T) {
	for _, c := range []struct{ column, text, want string }{
		{"drain_back", "black rubber", "nitrile"}, {"drain_back", "orange silicone", "silicone"}, {"drain_back", "Silicone (red)", "silicone"}, {"drain_back", "Buna-N", "nitrile"},
		{"drain_back", "black nitrile rubber", "nitrile"}, {"drain_back", "no valve", "none"}, {"drain_back", "N", "none"},
		{"media_type", "syn", "synthetic"}, {"media_type", "paper", "cellulose"}, {"media_type", "Full Syn", "synthetic"}, {"media_type", "syn/cell", "blend"},
		{"media_type", "wire backed syn", "wire-backed synthetic"}, {"media_type", "CELL.", "cellulose"}, {"media_type", "white paper", "cellulose"},
		{"end_caps", "metal", "steel"}, {"end_caps", "cardboard", "fibre"}, {"end_caps", "black plastic", "nylon"}, {"core", "Louvered", "louvred"}, {"core", "plastic cage", "nylon"},
		{"magnet", "y", "yes"}, {"magnet", "x", "yes"}, {"magnet", "✓", "yes"}, {"magnet", "Yes", "yes"}, {"magnet", "✗", "no"}, {"magnet", "none", "no"},
		{"seam", "metal clip", "crimped"}, {"bypass", "top", "dome"}, {"bypass", "in base plate", "in base plate?"}, {"bypass_spring", "coil spring", "coil"},
		{"drain_back", "felt", "felt?"}, {"drain_back", "y", "yes?"}, {"bypass", "✓", "yes?"}, {"drain_back", "orange", "orange?"}, {"end_caps", "metal and paper", "metal and paper?"},
	} {
		def, _ := LookUp(c.column)
		got, ok := category(def, c.text)
		if !ok {
			got += "?"
		}
		if got != c.want {
			t.Errorf("%s %q: %q, want %q", c.column, c.text, got, c.want)
		}
	}
}

// TestCategoryWordsAreUnique: no word means two categories of one column.
func TestCategoryWordsAreUnique(t *testing.T) {
	for _, c := range Columns() {
		owner := map[string]string{}
		for _, name := range c.Categories {
			for _, w := range append(CategoryWords(c.Name, name), name) {
				if other, had := owner[categoryKey(w)]; had && other != name {
					t.Errorf("%s: %q means %s and %s", c.Name, w, other, name)
				}
				owner[categoryKey(w)] = name
			}
		}
	}
	for _, c := range Columns() {
		for name := range c.OtherWords {
			if !slices.Contains(c.Categories, name) {
				t.Errorf("%s has no category %q", c.Name, name)
			}
		}
	}
}

// An unknown word stays its own kind, however it is spelt, and is named once.
func TestAKindOfItsOwn(t *testing.T) {
	l := mustRead(t, "maker,part,drain_back,pleats\nSkerrow,SK-1,Felt,51\nSkerrow,SK-2,felt,52\nSkerrow,SK-3,black rubber,52\nSkerrow,SK-4,FELT,50\n", Options{})
	if got := strings.Join(l.Strings("drain_back"), ","); got != "Felt,Felt,nitrile,Felt" {
		t.Error(got)
	}
	if ps := messages(l, "kept as a kind of its own"); len(ps) != 1 || ps[0].Line != 2 || ps[0].Text != "Felt" {
		t.Errorf("%+v", ps)
	}
}

func TestPricesOfPacks(t *testing.T) {
	l := mustRead(t, "maker,part,price,pack,pleats\nSkerrow,SK-1,$12.99 (2 pack),,51\nSkerrow,SK-2,$12 (2 pack),2,52\nSkerrow,SK-3,$9,3,62 (est)\nSkerrow,SK-4,$9,,51 (2 pack)\n", Options{})
	want := []float64{6.495, 6, 3, 9}
	for i, v := range l.Floats("price") {
		if v != want[i] {
			t.Errorf("price %d is %g, want %g", i, v, want[i])
		}
	}
	if rough := l.byName["pleats"].approx; len(rough) != 1 || rough[0] != 2 {
		t.Errorf("rough readings in rows %v", rough)
	}
	if cell, _ := l.Cell(0, "price"); cell.Value != 6.495 || cell.Readings[0] != 6.495 {
		t.Errorf("%+v", cell)
	}
	if len(messages(l, "is said of a pack of 2")) != 1 {
		t.Errorf("%+v", l.Problems())
	}
}
