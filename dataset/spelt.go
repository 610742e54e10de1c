package dataset

import (
	"fmt"

	"pleatstat/dataset/internal/spelling"
)

// Spelling is a maker or a part number that seems to be spelt in several ways.
type Spelling = spelling.Spelling

// Spellings returns the makers and parts that seem to be spelt in several ways;
// spelling.Openings.Find describes how they are found and which are certain. A
// log read with Options.MergeSpellings has only uncertain ones left.
func Spellings(l *Log) []Spelling { return l.openings().Find() }

func (l *Log) openings() spelling.Openings {
	return spelling.Openings{Maker: l.byName["maker"], Part: l.byName["part"], Lines: l.lines}
}

// SpeltTwice returns a warning for each maker that may be a different spelling
// of another. The two count as separate makers, which affects every result by
// maker.
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

// EditDistance returns the number of letters to insert, delete, replace or swap
// with their neighbour to turn one text into the other, each letter edited at
// most once: F. J. Damerau (1964), Commun. ACM 7, 171-176.
func EditDistance(a, b string) int { return spelling.Distance(a, b, len(a)+len(b)) }
