package price

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/cases"

	"pleatstat/dataset"
)

// Product names a product of a log.
type Product struct{ Maker, Part string }

func (p Product) String() string { return strings.TrimSpace(p.Maker + " " + p.Part) }

func compareNames(a, b Product) int {
	return cmp.Or(strings.Compare(a.Maker, b.Maker), strings.Compare(a.Part, b.Part))
}

// mostNamed is the number of names an error lists.
const mostNamed = 8

// AmbiguousError says that a name fits several products.
type AmbiguousError struct {
	Name       string
	Candidates []Product // all of them, in order of names
}

func (e *AmbiguousError) Error() string {
	return fmt.Sprintf("%q fits %d products: %s", e.Name, len(e.Candidates), listed(e.Candidates))
}

// UnknownError says that no product has a name like the one given.
type UnknownError struct {
	Name string
	// Selected says that conditions keep a part of the log only, in which it was
	// looked for.
	Selected bool
	Nearest  []Product // the most alike in spelling, the nearest first; none where nothing is
	// Maker is, without Nearest, the maker that a word of the name spells nearly,
	// and Parts are all its products; "" where there is none.
	Maker string
	Parts []Product
}

func (e *UnknownError) Error() string {
	among := "in the log"
	if e.Selected {
		among = "among the openings that the conditions keep"
	}
	switch {
	case len(e.Nearest) == 0 && e.Maker != "":
		return fmt.Sprintf("no product %q %s; the nearest maker is %s: %s", e.Name, among, e.Maker, listed(e.Parts))
	case len(e.Nearest) == 0:
		return fmt.Sprintf("no product %q %s", e.Name, among)
	case len(e.Nearest) == 1:
		return fmt.Sprintf("no product %q %s; the nearest is %s", e.Name, among, e.Nearest[0])
	}
	return fmt.Sprintf("no product %q %s; the nearest are: %s", e.Name, among, listed(e.Nearest))
}

func listed(products []Product) string {
	var names []string
	for _, p := range products[:min(len(products), mostNamed)] {
		names = append(names, p.String())
	}
	if more := len(products) - len(names); more > 0 {
		names = append(names, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(names, ", ")
}

// Resolve finds the product a person means: "Maker Part", a part number alone,
// or pieces of either; case, spaces and punctuation do not count. A whole name
// goes before a piece of one. Errors: *AmbiguousError where several fit,
// *UnknownError where none does.
func Resolve(log *dataset.Log, name string) (Product, error) {
	p, err := resolve(productsOf(log), name)
	return p, amongSelected(err, log)
}

// amongSelected marks an unknown name as looked for in a part of the log, where it
// was.
func amongSelected(err error, log *dataset.Log) error {
	var unknown *UnknownError
	if errors.As(err, &unknown) {
		unknown.Selected = log.Selection().Conditions != nil
	}
	return err
}

// productsOf lists the products of a log, in order of names.
func productsOf(log *dataset.Log) []Product {
	makers, parts := log.Strings("maker"), log.Strings("part")
	seen := map[Product]bool{}
	var out []Product
	for row := range makers {
		p := Product{makers[row], parts[row]}
		if !seen[p] {
			seen[p] = true
			out = append(out, p)
		}
	}
	slices.SortFunc(out, compareNames)
	return out
}

func resolve(products []Product, name string) (Product, error) {
	wanted := Folded(name)
	tests := []func(maker, part string) bool{
		func(maker, part string) bool { return maker+part == wanted || part+maker == wanted },
		func(_, part string) bool { return part == wanted },
		func(maker, part string) bool { return containsAll(maker+part, strings.Fields(name)) },
	}
	for _, test := range tests {
		var found []Product
		for _, p := range products {
			if wanted != "" && test(Folded(p.Maker), Folded(p.Part)) {
				found = append(found, p)
			}
		}
		if len(found) == 1 {
			return found[0], nil
		}
		for _, p := range found {
			if p.String() == name { // spelt to the letter
				return p, nil
			}
		}
		if len(found) > 1 {
			return Product{}, &AmbiguousError{Name: name, Candidates: found}
		}
	}
	return Product{}, unknownName(products, name)
}

// unknownName is the error about a name that no product has, with what may have
// been meant.
func unknownName(products []Product, name string) *UnknownError {
	e := &UnknownError{Name: name, Nearest: nearestNames(products, Folded(name))}
	if e.Nearest != nil {
		return e
	}
	if e.Maker = nearestMaker(products, name); e.Maker != "" {
		e.Parts = slices.DeleteFunc(slices.Clone(products), func(p Product) bool { return p.Maker != e.Maker })
	}
	return e
}

func containsAll(name string, pieces []string) bool {
	for _, piece := range pieces {
		if !strings.Contains(name, Folded(piece)) {
			return false
		}
	}
	return true
}

// Folded is a name as names are compared: without regard to case, spaces and
// punctuation.
func Folded(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r) {
			return r
		}
		return -1
	}, cases.Fold().String(s))
}

// leastLetters is the length from which a word can be told to be misspelt: short
// words are near to too much.
const leastLetters = 3

// nearestMaker is the maker whose spelling is nearest to the name or to a word
// of it, as near as nearestNames asks; "" where none is.
func nearestMaker(products []Product, name string) string {
	nearest, least := "", math.MaxInt
	for _, word := range append(strings.Fields(name), name) {
		word = Folded(word)
		letters := len([]rune(word))
		if letters < leastLetters {
			continue
		}
		last := ""
		for _, p := range products { // in order of makers
			if p.Maker == "" || p.Maker == last {
				continue
			}
			last = p.Maker
			if d := dataset.EditDistance(word, Folded(p.Maker)); d <= letters/3 && d < least {
				nearest, least = p.Maker, d
			}
		}
	}
	return nearest
}

// nearestNames returns up to three products whose spelling, or the front of it, is
// at most a third of the name's letters away, the nearest first; of several as near
// the one that shares more letters from the front, then the shorter.
func nearestNames(products []Product, wanted string) []Product {
	type near struct {
		Product
		distance, shared, letters int
	}
	var found []near
	letters := len([]rune(wanted))
	for _, p := range products {
		whole, part := Folded(p.Maker+p.Part), Folded(p.Part)
		d := min(dataset.EditDistance(wanted, whole), dataset.EditDistance(wanted, part), frontDistance(wanted, Folded(p.Maker), whole))
		if d <= max(letters/3, 1) && letters > 0 {
			found = append(found, near{p, d, max(sharedFront(wanted, whole), sharedFront(wanted, part)), len([]rune(whole))})
		}
	}
	slices.SortStableFunc(found, func(a, b near) int {
		return cmp.Or(a.distance-b.distance, b.shared-a.shared, a.letters-b.letters)
	})
	var out []Product
	for _, f := range found[:min(len(found), 3)] {
		out = append(out, f.Product)
	}
	return out
}

// frontDistance is the least distance of a name from the front of a longer one
// that takes in more than the maker: what is left out at the end of a part number
// is no misspelling.
func frontDistance(name, maker, whole string) int {
	letters, longer := len([]rune(name)), []rune(whole)
	least := math.MaxInt
	if letters < len([]rune(maker))+2 {
		return least
	}
	for n := letters - 1; n <= letters+1 && n <= len(longer); n++ {
		least = min(least, dataset.EditDistance(name, string(longer[:n])))
	}
	return least
}

// sharedFront is the number of letters that two names share from the front.
func sharedFront(a, b string) int {
	x, y := []rune(a), []rune(b)
	n := 0
	for n < len(x) && n < len(y) && x[n] == y[n] {
		n++
	}
	return n
}

func (m *Model) unknown(name string) error {
	var all []Product
	for _, p := range m.products {
		all = append(all, Product{p.maker, p.part})
	}
	slices.SortFunc(all, compareNames)
	return amongSelected(unknownName(all, name), m.log)
}
