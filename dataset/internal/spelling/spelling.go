// Package spelling finds names written in two ways: makers and parts that
// differ in case, spaces and dashes, or by a slip of one letter, judged by the
// whole column. It changes the columns only in Merge.
package spelling

import (
	"cmp"
	"fmt"
	"slices"

	"pleatstat/dataset/internal/cells"
	"pleatstat/dataset/internal/problem"
)

// Spelling is a maker or a part number that seems to be spelt in several ways.
type Spelling struct {
	Column   string // "maker" or "part"
	Maker    string // the maker of a part
	Common   string // the most frequent spelling
	Openings int    // openings with that spelling
	Variants []Variant
}

// Variant is another spelling.
type Variant struct {
	Text  string
	Lines []int  // lines with it, ascending
	Why   string // why it seems to be the same name
	Sure  bool   // supported by more than similarity; only these are merged
}

// Openings holds the makers and parts of a log and the line of each opening.
type Openings struct {
	Maker, Part *cells.Column
	Lines       []int32
}

// Report records a problem with a text of a column.
type Report func(c *cells.Column, line int, text string, s problem.Severity, message string)

// mergeRounds is the greatest number of merging rounds. Makers that were joined
// share more part numbers with others, so that one round may enable further
// merges. Logs kept by people need two.
const mergeRounds = 10

// Find returns the makers and parts that are spelt in several ways. Spellings
// that differ only in case, spaces and dashes are the same name. A maker may
// also be a slip of one letter: certain if the two makers share a part number,
// uncertain if one is merely far rarer. Names that differ in any other
// character are different names, except that in part numbers the letters O, I
// and l may have been typed for 0 and 1.
func (o Openings) Find() []Spelling {
	makers := o.Makers()
	return append(makers, o.parts(canonical(o.Maker, makers))...)
}

// Merge joins the certain spellings and reports each through report.
func (o Openings) Merge(report Report) {
	for range mergeRounds {
		if !o.mergeOnce(report) {
			return
		}
	}
}

// mergeOnce joins the spellings that are certain now and reports whether there
// were any.
func (o Openings) mergeOnce(report Report) bool {
	maker, part := o.Maker, o.Part
	groups := o.Makers()
	joined := canonical(maker, groups)
	parts := o.parts(joined)
	remap := map[[2]uint32]uint32{}
	for _, g := range parts {
		for _, v := range g.Variants {
			if v.Sure {
				remap[[2]uint32{maker.Words.Index[g.Maker], part.Words.Index[v.Text]}] = part.Words.Index[g.Common]
			}
		}
	}
	for row := range maker.Codes {
		maker.Codes[row] = joined[maker.Codes[row]]
		if code, ok := remap[[2]uint32{maker.Codes[row], part.Codes[row]}]; ok {
			part.Codes[row] = code
		}
	}
	merged := false
	for _, g := range append(groups, parts...) {
		for _, v := range g.Variants {
			if !v.Sure {
				continue
			}
			merged = true
			c := maker
			if g.Column == "part" {
				c = part
			}
			report(c, v.Lines[0], v.Text, problem.Note, fmt.Sprintf("read as %s (%s), on %d line(s)", g.Common, v.Why, len(v.Lines)))
		}
	}
	return merged
}

// canonical maps each code of a column to the code of its common spelling,
// through certain variants only.
func canonical(c *cells.Column, groups []Spelling) []uint32 {
	out := make([]uint32, len(c.Words.List))
	for i := range out {
		out[i] = uint32(i)
	}
	for _, g := range groups {
		for _, v := range g.Variants {
			if v.Sure {
				out[c.Words.Index[v.Text]] = c.Words.Index[g.Common]
			}
		}
	}
	return out
}

// byUse sorts codes by falling frequency, then by first appearance. lines holds
// the lines of each code.
func byUse(codes []uint32, lines [][]int) {
	slices.SortFunc(codes, func(a, b uint32) int { return cmp.Or(len(lines[b])-len(lines[a]), int(a)-int(b)) })
}

// Makers returns the makers that are spelt in several ways.
func (o Openings) Makers() []Spelling {
	maker, part := o.Maker, o.Part
	words := maker.Words.List
	lines := o.linesOf(maker.Codes, len(words))

	folded := map[string][]uint32{}
	var keys []string
	for code := 1; code < len(words); code++ {
		if lines[code] == nil {
			continue
		}
		key := Fold(words[code])
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
		byUse(codes, lines)
		for _, c := range codes {
			total[key] += len(lines[c])
		}
	}
	slips := slips(keys, total, folded, partsOf(maker, part))

	slipsOf := map[string][]string{}
	for _, key := range keys {
		if s, ok := slips[key]; ok {
			slipsOf[s.of] = append(slipsOf[s.of], key)
		}
	}
	var out []Spelling
	for _, key := range keys {
		if _, isSlip := slips[key]; isSlip {
			continue
		}
		codes := folded[key]
		g := Spelling{Column: "maker", Common: words[codes[0]], Openings: len(lines[codes[0]])}
		for _, c := range codes[1:] {
			g.Variants = append(g.Variants, Variant{Text: words[c], Lines: lines[c], Why: difference(words[c], g.Common), Sure: true})
		}
		for _, other := range slipsOf[key] {
			slip := slips[other]
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

// linesOf returns the lines of each of n codes.
func (o Openings) linesOf(codes []uint32, n int) [][]int {
	lines := make([][]int, n)
	for row, code := range codes {
		lines[code] = append(lines[code], int(o.Lines[row]))
	}
	return lines
}
