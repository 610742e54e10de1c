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

// AmbiguousError reports that a name matches several products.
type AmbiguousError struct {
	Name       string
	Candidates []Product // all of them, sorted by name
}

func (e *AmbiguousError) Error() string {
	return fmt.Sprintf("%q fits %d products: %s", e.Name, len(e.Candidates), listed(e.Candidates))
}

// UnknownError reports that no product matches the name given.
type UnknownError struct {
	Name string
	// Selected reports that only the openings selected by conditions were
	// searched.
	Selected bool
	Nearest  []Product // closest spellings, nearest first; nil where none is close
	// Maker is, where Nearest is empty, the maker that a word of the name nearly
	// spells, and Parts are all its products; "" where there is none.
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

// Resolve finds the product that a name means: "Maker Part", a part number alone,
// or pieces of either, ignoring case, spaces and punctuation. A match of a whole
// name takes precedence over one of pieces. Errors: *AmbiguousError where several
// match, *UnknownError where none does.
func Resolve(log *dataset.Log, name string) (Product, error) {
	p, err := resolve(productsOf(log), name)
	return p, amongSelected(err, log)
}

// amongSelected records in an UnknownError whether only selected openings were
// searched.
func amongSelected(err error, log *dataset.Log) error {
	var unknown *UnknownError
	if errors.As(err, &unknown) {
		unknown.Selected = log.Selection().Conditions != nil
	}
	return err
}

// productsOf lists the products of a log, sorted by name.
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
			if p.String() == name { // exact spelling
				return p, nil
			}
		}
		if len(found) > 1 {
			return Product{}, &AmbiguousError{Name: name, Candidates: found}
		}
	}
	return Product{}, unknownName(products, name)
}

// unknownName returns the error for a name that no product has, with suggestions.
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

// Folded returns a name in the form in which names are compared: without case,
// spaces and punctuation.
func Folded(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r) {
			return r
		}
		return -1
	}, cases.Fold().String(s))
}

// leastLetters is the length from which a word is compared with the makers'
// spellings: shorter words are close to too many.
const leastLetters = 3

// nearestMaker returns the maker whose spelling is nearest to the name or to a
// word of it, within a third of its letters; "" where none is.
func nearestMaker(products []Product, name string) string {
	nearest, least := "", math.MaxInt
	for _, word := range append(strings.Fields(name), name) {
		word = Folded(word)
		letters := len([]rune(word))
		if letters < leastLetters {
			continue
		}
		last := ""
		for _, p := range products { // sorted by maker
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

// nearestNames returns up to three products whose spelling, or a prefix of it,
// differs in at most a third of the name's letters (at least one), nearest first.
// Ties go to the longer common prefix, then to the shorter name.
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

// frontDistance returns the smallest edit distance between a name and a prefix of
// a longer one that extends beyond the maker: leaving off the end of a part
// number is not a misspelling.
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

// sharedFront returns the length of the common prefix of two names, in letters.
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
