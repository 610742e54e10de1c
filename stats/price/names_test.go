package price

import (
	"errors"
	"slices"
	"testing"

	"pleatstat/dataset"
)

var shelf = []Product{
	{"Lowmere", "L4015"}, {"Lowmere", "L4035"}, {"Skerrow", "SK 1204"}, {"Skerrow", "SK 1223"},
	{"Skerrow", "SK 12"}, {"Thornquay", "1204"}, {"Wexcombe", "W 792"}, {"Ørebäck", "Ö-7"}, {"", "loose"},
}

func TestResolve(t *testing.T) {
	for _, c := range []struct {
		name string
		want Product
	}{
		{"Skerrow SK 1204", Product{"Skerrow", "SK 1204"}},
		{"skerrow sk-1204", Product{"Skerrow", "SK 1204"}},
		{"SK1204", Product{"Skerrow", "SK 1204"}},
		{"SK 1204 Skerrow", Product{"Skerrow", "SK 1204"}},
		{"w792", Product{"Wexcombe", "W 792"}},
		{"1204", Product{"Thornquay", "1204"}}, // a whole part number before a piece of one
		{"sk 12", Product{"Skerrow", "SK 12"}},
		{"wex", Product{"Wexcombe", "W 792"}},
		{"ø-ö7", Product{}},
		{"öreb", Product{}},
		{"ÖREBÄCK", Product{}},
		{"ørebäck", Product{"Ørebäck", "Ö-7"}},
		{"loose", Product{"", "loose"}},
	} {
		got, err := resolve(shelf, c.name)
		if got != c.want || (err == nil) != (c.want != Product{}) {
			t.Errorf("%q: got %v, %v; want %v", c.name, got, err, c.want)
		}
	}
}

func TestResolveAmbiguous(t *testing.T) {
	_, err := resolve(shelf, "skerrow 12")
	var several *AmbiguousError
	if !errors.As(err, &several) || len(several.Candidates) != 3 {
		t.Fatalf("got %v", err)
	}
	if want := `"skerrow 12" fits 3 products: Skerrow SK 1204, Skerrow SK 1223, Skerrow SK 12`; err.Error() != want {
		t.Errorf("got %s", err)
	}
}

func TestResolveUnknown(t *testing.T) {
	var unknown *UnknownError
	for name, nearest := range map[string]Product{
		"Skerow SK 1204":   {"Skerrow", "SK 1204"},
		"Skerrow SK 1240":  {"Skerrow", "SK 1204"}, // two digits swapped
		"L4051":            {"Lowmere", "L4015"},
		"Wexcombe W 729":   {"Wexcombe", "W 792"},
		"Lowmere L 40 35x": {"Lowmere", "L4035"},
	} {
		_, err := resolve(shelf, name)
		if !errors.As(err, &unknown) || len(unknown.Nearest) == 0 || unknown.Nearest[0] != nearest {
			t.Errorf("%q: got %v, want %v as the nearest", name, err, nearest)
		}
	}
	for _, name := range []string{"", "  ", "-", "zzzzzzzz"} {
		if _, err := resolve(shelf, name); !errors.As(err, &unknown) || len(unknown.Nearest) != 0 {
			t.Errorf("%q: got %v", name, err)
		}
	}
}

// A misspelt maker, without a part or with an unknown one, is recognised from the
// makers of the log.
func TestResolveMisspeltMaker(t *testing.T) {
	var unknown *UnknownError
	for name, maker := range map[string]string{
		"Skerow": "Skerrow", "SKEROW": "Skerrow", "Skerrov": "Skerrow", "Skerow SK 99999": "Skerrow", "Thorn quai": "Thornquay", "Wexcmobe": "Wexcombe",
		"Nobody": "", "Loose ends": "",
	} {
		_, err := resolve(shelf, name)
		if !errors.As(err, &unknown) || unknown.Maker != maker || (maker == "") != (unknown.Parts == nil) {
			t.Errorf("%q: got %v, want the maker %q", name, err, maker)
		}
	}
	_, err := resolve(shelf, "Skerow")
	if want := `no product "Skerow" in the log; the nearest maker is Skerrow: Skerrow SK 1204, Skerrow SK 1223, Skerrow SK 12`; err.Error() != want {
		t.Errorf("got %s", err)
	}
}

// Pairs from the literature, from memory: kitten and sitting (the usual
// example of insertions, deletions and replacements), ca and abc (restricted
// transposition distance 3).
func TestEditDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"kitten", "sitting", 3}, {"ca", "abc", 3}, {"ab", "ba", 1}, {"", "abc", 3}, {"abc", "", 3}, {"", "", 0}, {"ö7", "o7", 1},
	} {
		if got := dataset.EditDistance(c.a, c.b); got != c.want || dataset.EditDistance(c.b, c.a) != c.want {
			t.Errorf("%q, %q: %d, want %d both ways", c.a, c.b, got, c.want)
		}
	}
}

func TestResolveKeepsItsInput(t *testing.T) {
	before := slices.Clone(shelf)
	resolve(shelf, "sk")
	resolve(shelf, "Skerow")
	if !slices.Equal(before, shelf) {
		t.Error("resolve changed the list of products")
	}
}
