package dataset

import (
	"fmt"
	"slices"
	"strings"
)

// maxListed problems of one kind in one column are listed; the rest are counted.
const maxListed = 1000

// ledger collects problems without letting a long log with one mistake on every
// line fill the memory.
type ledger struct {
	list []Problem
	seen map[kindOfProblem]int
}

type kindOfProblem struct {
	name     string
	column   int
	severity Severity
	words    string // the beginning of the message
}

func kindOf(p Problem) kindOfProblem {
	words := p.Message
	if i := strings.IndexAny(words, "0123456789\"(;"); i >= 0 {
		words = words[:i]
	}
	return kindOfProblem{p.Name, p.Column, p.Severity, words}
}

func (l *ledger) add(p Problem) {
	if l.seen == nil {
		l.seen = map[kindOfProblem]int{}
	}
	k := kindOf(p)
	if l.seen[k]++; l.seen[k] <= maxListed {
		l.list = append(l.list, p)
	}
}

// close says how many problems of each kind were not listed, at the given line,
// and puts all in the order of the file. Column is the
// column of the file, from the line and the field.
func (l *ledger) close(file string, line int, column func(line, field int) int) []Problem {
	for _, p := range slices.Clone(l.list) {
		k := kindOf(p)
		if more := l.seen[k] - maxListed; more > 0 {
			l.seen[k] = 0
			p.File, p.Line, p.Text = file, line, ""
			p.Message = fmt.Sprintf("%d more like this: %s", more, p.Message)
			l.list = append(l.list, p)
		}
	}
	slices.SortStableFunc(l.list, func(a, b Problem) int {
		if a.Line != b.Line {
			return a.Line - b.Line
		}
		return a.Column - b.Column
	})
	for i, p := range l.list {
		l.list[i].Column = column(p.Line, p.Column)
	}
	return l.list
}
