package spelling

import (
	"cmp"
	"slices"
	"unicode"
)

// parts finds part numbers of one maker written two ways. Makers maps
// the codes of makers to their common spelling.
func (o Openings) parts(makers []uint32) []Spelling {
	maker, part := o.Maker, o.Part
	words := part.Words.List
	type group struct {
		maker uint32
		key   string
	}
	keys := make([]string, len(words))
	for code, word := range words {
		keys[code] = digitsFor(Fold(word))
	}
	// Every pair of maker and part gets a number of its own, so that one pass
	// finds all lines.
	var pairs []uint32 // part of each pair
	var lines [][]int  // on which it stands
	number := map[[2]uint32]uint32{}
	groups := map[group][]uint32{} // pairs
	var order []group
	for row, p := range part.Codes {
		k := [2]uint32{makers[maker.Codes[row]], p}
		i, ok := number[k]
		if !ok {
			i = uint32(len(pairs))
			number[k] = i
			pairs, lines = append(pairs, p), append(lines, nil)
			if g := (group{k[0], keys[p]}); g.key != "" {
				if groups[g] == nil {
					order = append(order, g)
				}
				groups[g] = append(groups[g], i)
			}
		}
		lines[i] = append(lines[i], int(o.Lines[row]))
	}
	letters := make([]int, len(words)) // letters in a part that may stand for digits
	for code, word := range words {
		letters[code] = differing(Fold(word), keys[code])
	}
	var out []Spelling
	for _, g := range order {
		members := groups[g]
		// The commoner first; of two alike the one with digits, not letters.
		slices.SortFunc(members, func(a, b uint32) int {
			return cmp.Or(len(lines[b])-len(lines[a]), letters[pairs[a]]-letters[pairs[b]], int(a)-int(b))
		})
		common := words[pairs[members[0]]]
		s := Spelling{Column: "part", Maker: maker.Words.List[g.maker], Common: common, Openings: len(lines[members[0]])}
		for _, i := range members[1:] {
			text := words[pairs[i]]
			if !nested(text, common) {
				continue
			}
			why := difference(text, common)
			if Fold(text) != Fold(common) {
				why = "a letter O, I or l in one where the other has a digit"
			}
			s.Variants = append(s.Variants, Variant{Text: text, Lines: lines[i], Why: why, Sure: true})
		}
		if s.Variants != nil {
			out = append(out, s)
		}
	}
	return out
}

// digitsFor turns the letters o, i and l into digits where they stand beside
// one.
func digitsFor(key string) string {
	r := []rune(key)
	for i, c := range r {
		beside := i > 0 && unicode.IsDigit(r[i-1]) || i+1 < len(r) && unicode.IsDigit(r[i+1]) && i > 0
		switch {
		case beside && c == 'o':
			r[i] = '0'
		case beside && (c == 'i' || c == 'l'):
			r[i] = '1'
		}
	}
	return string(r)
}

// nested says whether one text breaks only where the other does too: 1-11 and
// 11-1 are different parts though their letters are the same.
func nested(a, b string) bool {
	x, y := breaks(a), breaks(b)
	if len(x) > len(y) {
		x, y = y, x
	}
	for at := range x {
		if !y[at] {
			return false
		}
	}
	return true
}

// differing counts the places at which two texts of the same length differ.
func differing(a, b string) int {
	n := 0
	x, y := []rune(a), []rune(b)
	for i := range x {
		if x[i] != y[i] {
			n++
		}
	}
	return n
}

// breaks are the places, counted in characters, where a text is broken by blanks
// or dashes.
func breaks(s string) map[int]bool {
	out := map[int]bool{}
	n := 0
	for _, r := range s {
		if !isBlank(r) && !isDash(r) {
			n++
		} else if n > 0 {
			out[n] = true
		}
	}
	delete(out, n)
	return out
}
