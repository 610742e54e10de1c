package dataset

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// Spelling is a maker or a part number that seems to be spelt in several ways.
type Spelling struct {
	Column   string // "maker" or "part"
	Maker    string // whose part it is, for parts
	Common   string // the way it is written most often
	Openings int    // written so
	Variants []Variant
}

// Variant is another way of writing.
type Variant struct {
	Text  string
	Lines []int  // where it stands, ascending
	Why   string // what makes it look the same
	Sure  bool   // more than likeness speaks for it; only these are merged
}

const (
	minSlipLength = 5  // letters a name needs before one of them may be a slip
	slipRatio     = 10 // how much rarer than the name a slip is that nothing else speaks for
)

// Spellings finds makers and parts that are spelt two ways: by case, blanks,
// dashes and accents; a maker also by a slip of one letter, where the two have
// a part number in common (sure) or one is far rarer than the other (not sure).
// Part numbers that differ in a character are different parts, except for the
// letters O and I struck for 0 and 1. A log that was read with
// Options.MergeSpellings has only unsure ones left.
func Spellings(l *Log) []Spelling {
	makers := l.makerSpellings()
	return append(makers, l.partSpellings(canonical(l.byName["maker"], makers))...)
}

// merge joins the sure spellings and says so.
func (l *Log) merge() {
	maker, part := l.byName["maker"], l.byName["part"]
	groups := l.makerSpellings()
	joined := canonical(maker, groups)
	parts := l.partSpellings(joined)
	remap := map[[2]uint32]uint32{}
	for _, g := range parts {
		for _, v := range g.Variants {
			if v.Sure {
				remap[[2]uint32{maker.words.index[g.Maker], part.words.index[v.Text]}] = part.words.index[g.Common]
			}
		}
	}
	for row := range maker.codes {
		maker.codes[row] = joined[maker.codes[row]]
		if code, ok := remap[[2]uint32{maker.codes[row], part.codes[row]}]; ok {
			part.codes[row] = code
		}
	}
	for _, g := range append(groups, parts...) {
		for _, v := range g.Variants {
			if !v.Sure {
				continue
			}
			c := l.byName[g.Column]
			l.problem(Problem{Line: v.Lines[0], Column: c.field + 1, Name: c.name, Text: v.Text, Severity: Note,
				Message: fmt.Sprintf("read as %s (%s), on %d line(s)", g.Common, v.Why, len(v.Lines))})
		}
	}
}

// canonical maps each code of a column to the code of its common spelling,
// following sure variants only.
func canonical(c *column, groups []Spelling) []uint32 {
	out := make([]uint32, len(c.words.words))
	for i := range out {
		out[i] = uint32(i)
	}
	for _, g := range groups {
		for _, v := range g.Variants {
			if v.Sure {
				out[c.words.index[v.Text]] = c.words.index[g.Common]
			}
		}
	}
	return out
}

// usage counts how often each code of a column is written.
func usage(codes []uint32, words int) []int {
	n := make([]int, words)
	for _, c := range codes {
		n[c]++
	}
	return n
}

// byUse sorts codes by falling use, then by first appearance.
func byUse(codes []uint32, count []int) {
	slices.SortFunc(codes, func(a, b uint32) int {
		if count[a] != count[b] {
			return count[b] - count[a]
		}
		return int(a) - int(b)
	})
}

func (l *Log) makerSpellings() []Spelling {
	maker, part := l.byName["maker"], l.byName["part"]
	words := maker.words.words
	count := usage(maker.codes, len(words))

	folded := map[string][]uint32{}
	var keys []string
	for code := 1; code < len(words); code++ {
		if count[code] == 0 {
			continue
		}
		key := foldName(words[code])
		if key == "" {
			continue
		}
		if folded[key] == nil {
			keys = append(keys, key)
		}
		folded[key] = append(folded[key], uint32(code))
	}
	total := map[string]int{}
	for key, codes := range folded {
		byUse(codes, count)
		for _, c := range codes {
			total[key] += count[c]
		}
	}
	slips := l.slips(keys, total, folded, maker, part)

	lines := l.linesOf(maker, func(code uint32) bool { return true }, variantCodes(folded, slips))
	var out []Spelling
	for _, key := range keys {
		if _, isSlip := slips[key]; isSlip {
			continue
		}
		codes := folded[key]
		g := Spelling{Column: "maker", Common: words[codes[0]], Openings: count[codes[0]]}
		for _, c := range codes[1:] {
			g.Variants = append(g.Variants, Variant{Text: words[c], Lines: lines[c], Why: "differs in case, blanks or dashes", Sure: true})
		}
		for _, other := range keys {
			slip, ok := slips[other]
			if !ok || slip.of != key {
				continue
			}
			for _, c := range folded[other] {
				g.Variants = append(g.Variants, Variant{Text: words[c], Lines: lines[c], Why: slip.why, Sure: slip.sure})
			}
		}
		if g.Variants != nil {
			out = append(out, g)
		}
	}
	return out
}

func variantCodes(folded map[string][]uint32, slips map[string]slip) map[uint32]bool {
	wanted := map[uint32]bool{}
	for key, codes := range folded {
		if _, ok := slips[key]; !ok {
			codes = codes[1:]
		}
		for _, c := range codes {
			wanted[c] = true
		}
	}
	return wanted
}

// linesOf lists the lines on which the wanted codes of a column stand.
func (l *Log) linesOf(c *column, keep func(row uint32) bool, wanted map[uint32]bool) map[uint32][]int {
	lines := map[uint32][]int{}
	if len(wanted) == 0 {
		return lines
	}
	for row, code := range c.codes {
		if wanted[code] && keep(uint32(row)) {
			lines[code] = append(lines[code], int(l.lines[row]))
		}
	}
	return lines
}

// slip is a name that is a letter away from a commoner one.
type slip struct {
	of, why string
	sure    bool
}

// slips finds the names one edit away from a commoner name, through the texts
// that both become when one letter is left out.
func (l *Log) slips(keys []string, total map[string]int, folded map[string][]uint32, maker, part *column) map[string]slip {
	shorter := map[string][]string{}
	for _, key := range keys {
		for _, s := range append(without(key), key) {
			shorter[s] = append(shorter[s], key)
		}
	}
	out := map[string]slip{}
	for _, key := range keys {
		if len([]rune(key)) < minSlipLength {
			continue
		}
		best := ""
		for _, s := range append(without(key), key) {
			for _, other := range shorter[s] {
				commoner := total[other] > total[key] || total[other] == total[key] && slices.Index(keys, other) < slices.Index(keys, key)
				if other != key && commoner && total[other] > total[best] && len([]rune(other)) >= minSlipLength && editDistance(key, other, 1) <= 1 {
					best = other
				}
			}
		}
		if best == "" {
			continue
		}
		if shared := l.sharedPart(maker, part, folded[key], folded[best]); shared != "" {
			out[key] = slip{best, "one letter apart, and both have a part " + shared, true}
		} else if total[best] >= slipRatio*total[key] {
			out[key] = slip{best, "one letter apart, and far rarer", false}
		}
	}
	for key, s := range out { // a slip of a slip leads nowhere
		if _, ok := out[s.of]; ok {
			delete(out, key)
		}
	}
	return out
}

// sharedPart returns a part number that two makers have in common, "" for none.
func (l *Log) sharedPart(maker, part *column, a, b []uint32) string {
	have := map[string]bool{}
	for row, m := range maker.codes {
		if slices.Contains(a, m) && part.codes[row] != 0 {
			have[foldName(part.words.words[part.codes[row]])] = true
		}
	}
	for row, m := range maker.codes {
		if p := part.words.words[part.codes[row]]; slices.Contains(b, m) && have[foldName(p)] {
			return p
		}
	}
	return ""
}

// partSpellings finds part numbers of one maker written two ways. Makers maps
// the codes of makers to their common spelling.
func (l *Log) partSpellings(makers []uint32) []Spelling {
	maker, part := l.byName["maker"], l.byName["part"]
	type group struct {
		maker uint32
		key   string
	}
	count := map[[2]uint32]int{}
	groups := map[group][]uint32{}
	var order []group
	for row, p := range part.codes {
		if p == 0 {
			continue
		}
		pair := [2]uint32{makers[maker.codes[row]], p}
		if count[pair]++; count[pair] > 1 {
			continue
		}
		g := group{pair[0], digitsFor(foldName(part.words.words[p]))}
		if groups[g] == nil {
			order = append(order, g)
		}
		groups[g] = append(groups[g], p)
	}
	var out []Spelling
	for _, g := range order {
		codes := groups[g]
		if len(codes) < 2 {
			continue
		}
		slices.SortFunc(codes, func(a, b uint32) int {
			// The commoner first; of two alike the one with digits, not letters.
			return cmp.Or(
				count[[2]uint32{g.maker, b}]-count[[2]uint32{g.maker, a}],
				editDistance(foldName(part.words.words[a]), g.key, len(g.key))-editDistance(foldName(part.words.words[b]), g.key, len(g.key)),
				int(a)-int(b))
		})
		common := part.words.words[codes[0]]
		s := Spelling{Column: "part", Maker: maker.words.words[g.maker], Common: common, Openings: count[[2]uint32{g.maker, codes[0]}]}
		lines := l.linesOf(part, func(row uint32) bool { return makers[maker.codes[row]] == g.maker }, set(codes[1:]))
		for _, c := range codes[1:] {
			text := part.words.words[c]
			if !nested(text, common) {
				continue
			}
			why := "differs in case, blanks or dashes"
			if foldName(text) != foldName(common) {
				why = "a letter O or I stands for a digit"
			}
			s.Variants = append(s.Variants, Variant{Text: text, Lines: lines[c], Why: why, Sure: true})
		}
		if s.Variants != nil {
			out = append(out, s)
		}
	}
	return out
}

func set(codes []uint32) map[uint32]bool {
	out := map[uint32]bool{}
	for _, c := range codes {
		out[c] = true
	}
	return out
}

// foldName brings a name to the form in which spellings are compared: lower
// case letters and digits alone, without accents.
func foldName(s string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, norm.NFKD.String(s))
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

// breaks are the places, counted in letters and digits, where a text is broken
// by something else.
func breaks(s string) map[int]bool {
	out := map[int]bool{}
	n := 0
	for _, r := range s {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			n++
		} else if n > 0 {
			out[n] = true
		}
	}
	delete(out, n)
	return out
}
