// Package problem holds what is found wrong with a log: where it stands, what it
// costs, and how the places are listed. It finds none itself.
package problem

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// Severity says what a problem costs.
type Severity string

const (
	// Unusable cells hold nothing that can be read; the cell counts as blank.
	Unusable Severity = "cannot be used"
	// Doubtful values are read but look like a slip.
	Doubtful Severity = "doubtful"
	// Note is for the reader's information.
	Note Severity = "note"
)

// Problem is one thing found wrong with the log, at the place where it stands.
type Problem struct {
	File     string   `json:"file"`
	Line     int      `json:"line"`   // 1-based line of the file on which the cell starts; 0 = whole file
	Column   int      `json:"column"` // 1-based field number within the record; 0 = whole line
	Name     string   `json:"name"`   // canonical column name, or the header's own text
	Text     string   `json:"text"`   // what stands there
	Message  string   `json:"message"`
	Severity Severity `json:"severity"`
}

// maxListed problems of one kind in one column are listed; the rest are counted.
const maxListed = 1000

// Ledger collects problems without letting a long log with one mistake on every
// line fill the memory.
type Ledger struct {
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

// Add takes a problem in.
func (l *Ledger) Add(p Problem) {
	if l.seen == nil {
		l.seen = map[kindOfProblem]int{}
	}
	k := kindOf(p)
	if l.seen[k]++; l.seen[k] <= maxListed {
		l.list = append(l.list, p)
	}
}

// Close says how many problems of each kind were not listed, at the given line,
// and puts all in the order of the file. Column gives the column of the file for a
// line and a field.
func (l *Ledger) Close(file string, line int, column func(line, field int) int) []Problem {
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

// Unread counts texts of one column that cannot be read.
type Unread struct {
	Cells int
	Line  int // of the first
	Text  string
}

// Add counts a text, and keeps the first.
func (u *Unread) Add(line int, text string) {
	if u.Cells++; u.Cells == 1 {
		u.Line, u.Text = line, Shorten(text)
	}
}

// maxShown characters of a cell are shown in a problem.
const maxShown = 80

// Shorten cuts a text to what is shown.
func Shorten(s string) string {
	if utf8.RuneCountInString(s) <= maxShown {
		return strings.Clone(s)
	}
	return string([]rune(s)[:maxShown]) + "…"
}

// List writes words as a sentence lists them: a, b and c.
func List(list []string) string {
	last := len(list) - 1
	if last < 1 {
		return strings.Join(list, "")
	}
	return strings.Join(list[:last], ", ") + " and " + list[last]
}

// Quoted puts each name in quotation marks.
func Quoted(names []string) []string {
	out := make([]string, len(names))
	for i, n := range names {
		out[i] = fmt.Sprintf("%q", n)
	}
	return out
}
