package catalogue

import (
	"slices"
	"testing"
)

// What the words mean at a bench: common practice, no source.
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
		got, ok := Category(def, c.text)
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
	for c := range Recorded() {
		owner := map[string]string{}
		for _, name := range c.Categories {
			for _, w := range append(CategoryWords(c.Name, name), name) {
				if other, had := owner[CategoryKey(w)]; had && other != name {
					t.Errorf("%s: %q means %s and %s", c.Name, w, other, name)
				}
				owner[CategoryKey(w)] = name
			}
		}
	}
	for c := range Recorded() {
		for name := range c.OtherWords {
			if !slices.Contains(c.Categories, name) {
				t.Errorf("%s has no category %q", c.Name, name)
			}
		}
	}
}
