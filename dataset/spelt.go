package dataset

import (
	"fmt"

	"pleatstat/dataset/internal/spelling"
)

// Spelling is a maker or a part number that seems to be spelt in several ways.
type Spelling = spelling.Spelling

// Spellings finds makers and parts that are spelt two ways; spelling.Openings.Find
// says which, and which are sure. A log that was read with Options.MergeSpellings has
// only unsure ones left.
func Spellings(l *Log) []Spelling { return l.openings().Find() }

func (l *Log) openings() spelling.Openings {
	return spelling.Openings{Maker: l.byName["maker"], Part: l.byName["part"], Lines: l.lines}
}

// SpeltTwice says of each maker that may be spelt two ways that it counts as two:
// what is said of makers, prices and places rests on it.
func SpeltTwice(l *Log) []string {
	var out []string
	for _, s := range l.openings().Makers() {
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

// EditDistance counts the letters to insert, delete, replace or swap with their
// neighbour that turn one text into another, each letter touched once: F. J.
// Damerau (1964), Commun. ACM 7, 171-176.
func EditDistance(a, b string) int { return spelling.Distance(a, b, len(a)+len(b)) }
