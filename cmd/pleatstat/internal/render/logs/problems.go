package logs

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/check"
)

// ProblemSentence states where a problem is, what was found there and what would be
// right.
func ProblemSentence(p dataset.Problem) string {
	var b strings.Builder
	if p.Line > 0 {
		b.WriteString(wording.Line(p.Line) + ", ")
	}
	if p.Name != "" {
		b.WriteString(wording.Short(catalogue.Words(p.Name)))
		if p.Text != "" {
			b.WriteString(" " + wording.Quoted(p.Text))
		}
		b.WriteString(": ")
	}
	return wording.UpperFirst(b.String() + wording.Ended(p.Message))
}

// BySeverity keeps the problems of the given severities, in that order.
func BySeverity(problems []dataset.Problem, order ...dataset.Severity) []dataset.Problem {
	var out []dataset.Problem
	for _, s := range order {
		for _, p := range problems {
			if p.Severity == s {
				out = append(out, p)
			}
		}
	}
	return out
}

func problemCount(problems []dataset.Problem) string {
	unusable := len(BySeverity(problems, dataset.Unusable))
	doubtful := len(BySeverity(problems, dataset.Doubtful))
	notes := len(problems) - unusable - doubtful
	if len(problems) == 0 {
		return "Nothing in the log looks like a slip."
	}
	var phrases []string
	first := 0 // number that the sentence states first
	for _, c := range []struct {
		n         int
		one, many string
	}{{unusable, "entry that cannot be used", "entries that cannot be used"}, {doubtful, "doubtful reading", "doubtful readings"}, {notes, "note", "notes"}} {
		if c.n > 0 {
			first = cmp.Or(first, c.n)
			phrases = append(phrases, wording.Counted(c.n, c.one, c.many))
		}
	}
	return "There " + wording.Plural(first, "is", "are") + " " + wording.Joined(phrases) + "."
}

// SlipsInShort returns a sentence on which lines to look at again.
func SlipsInShort(problems []dataset.Problem) string {
	var phrases []string
	for _, c := range []struct {
		severity  dataset.Severity
		one, many string
	}{{dataset.Doubtful, " reading looks like a slip", " readings look like slips"}, {dataset.Unusable, " entry can't be used", " entries can't be used"}} {
		all := BySeverity(problems, c.severity)
		if len(all) == 0 {
			continue
		}
		what := c.many
		if len(all) == 1 {
			what = c.one
		}
		if where := linesOf(all); where != "" {
			what += ": " + where
		}
		phrases = append(phrases, wording.Spelt(len(all))+what)
	}
	return wording.Sentence(strings.Join(phrases, "; "))
}

// linesOf names the lines of some problems.
func linesOf(problems []dataset.Problem) string {
	var numbers []string
	for _, p := range problems {
		if n := strconv.Itoa(p.Line); p.Line > 0 && !slices.Contains(numbers, n) {
			numbers = append(numbers, n)
		}
	}
	switch len(numbers) {
	case 0:
		return ""
	case 1:
		return "line" + wording.NBSP + numbers[0]
	}
	return "lines " + wording.Joined(wording.Cut(numbers, wording.MaxLooks))
}

// SlipSentence states what a reading was probably meant to be.
func SlipSentence(s check.Suggestion) string {
	return fmt.Sprintf("Line %d, %s: %s looks like a slip; probably %s was meant.", s.Line, catalogue.Words(s.Name), wording.Quoted(s.Found), wording.Quoted(s.Intended))
}
