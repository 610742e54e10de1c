package dataset

import "fmt"

// Spellings finds makers and parts that are spelt two ways: by case, blanks and
// dashes; a maker also by a slip of one letter, where the two have a part number
// in common (sure) or one is far rarer than the other (not sure). Names that
// differ in any other sign are different names. Part numbers that differ in a
// character are different parts, except for the letters O, I and l struck for 0
// and 1. A log that was read with Options.MergeSpellings has only unsure ones
// left.
func Spellings(l *Log) []Spelling { return l.openings().find() }

func (l *Log) openings() openings {
	return openings{maker: l.byName["maker"], part: l.byName["part"], lines: l.lines}
}

// SpeltTwice says of each maker that may be spelt two ways that it counts as two:
// what is said of makers, prices and places rests on it.
func SpeltTwice(l *Log) []string {
	var out []string
	for _, s := range l.openings().makers() {
		for _, v := range s.Variants {
			cure := "write it one way if it is"
			if v.Sure {
				cure = "--merge-spellings joins them"
			}
			out = append(out, fmt.Sprintf("%s may be %s spelt another way (%s): here they count as two makers; %s", v.Text, s.Common, v.Why, cure))
		}
	}
	return out
}
