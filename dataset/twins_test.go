package dataset

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// A filter under two labels is one product, however the log states it; the
// labels stay separate.
func TestTwinsAreOneProduct(t *testing.T) {
	for name, c := range map[string]struct {
		rows  string
		twins [][]Label
		note  bool
	}{
		"none":                     {"Skerrow,SK 1,,\nLowmere,L 1,,\n", nil, false},
		"maker and part":           {"Skerrow,SK 1,,\nLowmere,L 1,Skerrow SK-1,\nLowmere,L 1,,\n", [][]Label{{{"Skerrow", "SK 1"}, {"Lowmere", "L 1"}}}, false},
		"named before it comes":    {"Lowmere,L 1,Skerrow SK 1,\nSkerrow,SK 1,,\n", [][]Label{{{"Lowmere", "L 1"}, {"Skerrow", "SK 1"}}}, false},
		"part alone":               {"Skerrow,SK 1,,\nLowmere,L 1,sk1,\n", [][]Label{{{"Skerrow", "SK 1"}, {"Lowmere", "L 1"}}}, false},
		"part alone of two makers": {"Skerrow,12,,\nPellbrook,12,,\nLowmere,L 1,12,\n", nil, true},
		"part alone, made by":      {"Skerrow,12,,\nPellbrook,12,,\nLowmere,L 1,12,Pellbrook\n", [][]Label{{{"Pellbrook", "12"}, {"Lowmere", "L 1"}}}, false},
		"number of its maker":      {"Skerrow,12,,\nPellbrook,12,,Skerrow\n", [][]Label{{{"Skerrow", "12"}, {"Pellbrook", "12"}}}, false},
		"three":                    {"Skerrow,SK 1,,\nLowmere,L 1,Skerrow SK 1,\nPellbrook,P 1,Lowmere L 1,\n", [][]Label{{{"Skerrow", "SK 1"}, {"Lowmere", "L 1"}, {"Pellbrook", "P 1"}}}, false},
		"nobody":                   {"Skerrow,SK 1,Orrinvale 7,\n", nil, true},
		"itself":                   {"Skerrow,SK 1,Skerrow SK 1,\n", nil, false},
	} {
		l, err := Read(strings.NewReader("maker,part,same_as,made_by,pleats\n"+strings.ReplaceAll(c.rows, "\n", ",60\n")), "log.csv", Options{})
		if err != nil {
			t.Fatal(err)
		}
		if got := l.Twins(); fmt.Sprint(got) != fmt.Sprint(c.twins) {
			t.Errorf("%s: %v, want %v", name, got, c.twins)
		}
		noted := slices.ContainsFunc(l.Problems(), func(p Problem) bool { return p.Name == "same_as" })
		if noted != c.note {
			t.Errorf("%s: noted %v: %v", name, noted, l.Problems())
		}
		if said := strings.Contains(strings.Join(l.Notices(), " "), "one filter under several labels"); said != (c.twins != nil) {
			t.Errorf("%s: said %v: %v", name, said, l.Notices())
		}
		labels := map[Label]bool{}
		for row := range l.Rows() {
			labels[Label{l.Word(row, "maker"), l.Word(row, "part")}] = true
			for _, twins := range c.twins {
				if slices.Contains(twins, Label{l.Word(row, "maker"), l.Word(row, "part")}) && l.NameOf(row) != twins[0] {
					t.Errorf("%s: row %d counts as %v, want %v", name, row, l.NameOf(row), twins[0])
				}
			}
		}
		fewer := 0
		for _, twins := range c.twins {
			fewer += len(twins) - 1
		}
		if l.Labels() != len(labels) || l.Products() != len(labels)-fewer {
			t.Errorf("%s: %d labels of %d products, want %d of %d", name, l.Labels(), l.Products(), len(labels), len(labels)-fewer)
		}
		aside := l.SetAside(nil)
		if aside.Labels() != l.Labels() || fmt.Sprint(aside.Twins()) != fmt.Sprint(l.Twins()) {
			t.Errorf("%s: readings set aside part the twins", name)
		}
	}
}

// Twins stay one product in a selection, and count as an ordinary product if
// only one label is left.
func TestTwinsAmongSomeOpenings(t *testing.T) {
	l, err := Read(strings.NewReader("maker,part,same_as,pleats\nOrrinvale,O 1,,50\nSkerrow,SK 1,,60\nLowmere,L 1,Skerrow SK 1,61\n"), "log.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	for condition, want := range map[string]string{"pleats>=60": "1 2 [[Skerrow SK 1 Lowmere L 1]]", "pleats!=60": "2 2 []", "pleats<61": "2 2 []"} {
		some, err := l.Where(condition)
		if err != nil {
			t.Fatal(err)
		}
		if got := fmt.Sprint(some.Products(), some.Labels(), some.Twins()); got != want {
			t.Errorf("%s: %s, want %s", condition, got, want)
		}
	}
}
