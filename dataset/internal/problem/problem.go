// Package problem holds the faults found in a log, with their place and
// severity, and sorts and limits the list. It does not look for any.
package problem

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// Severity is what a problem costs.
type Severity string

const (
	// Unusable marks a cell that cannot be read and counts as blank, or a line
	// that is left out.
	Unusable Severity = "cannot be used"
	// Doubtful marks a value that is used but looks like a slip.
	Doubtful Severity = "doubtful"
	// Note marks information that needs no action.
	Note Severity = "note"
)

// Problem is one fault found in the log, with its place.
type Problem struct {
	File     string   `json:"file"`
	Line     int      `json:"line"`   // line of the file on which the cell starts, from 1; 0 = whole file
	Column   int      `json:"column"` // field within the record, from 1; 0 = whole line
	Name     string   `json:"name"`   // canonical column name, or the header
	Text     string   `json:"text"`   // as written
	Message  string   `json:"message"`
	Severity Severity `json:"severity"`
}

// maxListed is the number of problems of one kind in one column that are
// listed; further ones are counted.
const maxListed = 1000

// Ledger collects problems in bounded memory, even if a long log has the same
// fault on every line.
type Ledger struct {
	list []Problem
	seen map[kindOfProblem]int
}

type kindOfProblem struct {
	name     string
	column   int
	severity Severity
	words    string // the message up to its first value
}

func kindOf(p Problem) kindOfProblem {
	words := p.Message
	if i := strings.IndexAny(words, "0123456789\"(;"); i >= 0 {
		words = words[:i]
	}
	return kindOfProblem{p.Name, p.Column, p.Severity, words}
}

// Add records a problem.
func (l *Ledger) Add(p Problem) {
	if l.seen == nil {
		l.seen = map[kindOfProblem]int{}
	}
	k := kindOf(p)
	if l.seen[k]++; l.seen[k] <= maxListed {
		l.list = append(l.list, p)
	}
}

// Close returns the problems in the order of the file, with an entry at the
// given line for each kind of which some were not listed. column maps a line
// and a field of a record to the column of the file.
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

// Unread counts the texts of one column that cannot be read.
type Unread struct {
	Cells int
	Line  int // line of the first
	Text  string
}

// Add counts a text and keeps the first.
func (u *Unread) Add(line int, text string) {
	if u.Cells++; u.Cells == 1 {
		u.Line, u.Text = line, Shorten(text)
	}
}

// maxShown is the number of characters of a cell that a problem shows.
const maxShown = 80

// Shorten truncates a text to the length that a problem shows.
func Shorten(s string) string {
	if utf8.RuneCountInString(s) <= maxShown {
		return strings.Clone(s)
	}
	return string([]rune(s)[:maxShown]) + "…"
}

// List joins words as in a sentence: a, b and c.
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
