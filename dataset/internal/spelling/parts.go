package spelling

import (
	"cmp"
	"slices"
	"unicode"
)

// parts finds part numbers of one maker that are written in two ways. makers
// maps each maker's code to that of its common spelling.
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
	// Every pair of maker and part is numbered, so that one pass finds all
	// lines.
	var pairs []uint32 // part, by pair
	var lines [][]int  // lines, by pair
	number := map[[2]uint32]uint32{}
	groups := map[group][]uint32{} // pairs, by group
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
	letters := make([]int, len(words)) // by part: letters that may stand for digits
	for code, word := range words {
		letters[code] = differing(Fold(word), keys[code])
	}
	var out []Spelling
	for _, g := range order {
		members := groups[g]
		// The more frequent first; of two equally frequent, the one with more
		// digits.
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

// digitsFor replaces the letters o, i and l next to a digit by the digits they
// resemble, except at the start of the text.
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

// nested reports whether one text has breaks only where the other has: 1-11 and
// 11-1 are different parts although their characters are the same.
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

// differing returns the number of positions at which two texts of equal length
// differ.
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

// breaks returns the positions at which spaces or dashes divide a text, counted
// in other characters.
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
