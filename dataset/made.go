package dataset

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cells"
	"pleatstat/dataset/internal/datecode"
	"pleatstat/dataset/internal/problem"
)

// MadeGrace is how much later than the opening a date code may lie, in years.
const MadeGrace = datecode.MadeGrace

// readCodes reads the date codes as dates where the column as a whole shows
// what they mean, and reports the others in one note.
func (l *Log) readCodes() {
	c := l.byName["date_code"]
	if c == nil || c.Class != cells.Texts {
		return
	}
	codes, first := make([]datecode.Code, len(c.Words.List)), make([]int, len(c.Words.List))
	opened := l.byName["opened"]
	for row, w := range c.Codes {
		k := &codes[w]
		if k.Cells++; k.Cells == 1 {
			first[w], k.Opened = row, math.NaN()
		}
		if opened != nil && !(k.Opened <= opened.Num[row]) {
			if v := opened.Num[row]; v == v {
				k.Opened = v // the earliest opening with this code
			}
		}
	}
	codes[0].Cells = 0 // blank
	for w, text := range c.Words.List {
		codes[w].Text = text
	}
	read, open, doubts := datecode.Read(codes)
	note := func(text, message string) {
		l.report(c, l.layout.Line, text, Note, message)
	}
	for _, d := range doubts {
		note(d.Text, d.Message)
	}
	var left problem.Unread
	dated, total := 0, 0
	for _, w := range byFirst(codes, first) {
		total += codes[w].Cells
		switch {
		case read[w].Known():
			dated += codes[w].Cells
		case !open[w]:
			left.Add(int(l.lines[first[w]]), codes[w].Text)
			left.Cells += codes[w].Cells - 1
		}
	}
	if left.Cells > 0 {
		count := strconv.Itoa(left.Cells)
		if left.Cells == 1 {
			count = "one"
		}
		note(left.Text, fmt.Sprintf("%s of %d codes can't be read as a date and stay text, the first in line %d", count, total, left.Line))
	}
	if dated == 0 {
		return
	}
	l.codes = read
	def := catalogue.Facts("made")
	l.made = &cells.Column{Name: def.Name, Def: def, Field: -1, Rows: len(l.lines), Num: make([]float64, len(l.lines))}
	for row, w := range c.Codes {
		l.made.Num[row] = (read[w].From + read[w].To) / 2
	}
}

// byFirst returns the codes in use, sorted by the row on which each first
// appears.
func byFirst(codes []datecode.Code, first []int) []int {
	var out []int
	for w := range codes {
		if codes[w].Cells > 0 {
			out = append(out, w)
		}
	}
	slices.SortFunc(out, func(a, b int) int { return first[a] - first[b] })
	return out
}

// Made returns the span of time in which a filter was made according to its
// date code, in decimal years: a day, a week or a month. It is false if no code
// was read.
func (l *Log) Made(row int) (from, to float64, ok bool) {
	if l.made == nil || row < 0 || row >= len(l.made.Num) || math.IsNaN(l.made.Num[row]) {
		return math.NaN(), math.NaN(), false
	}
	d := l.codes[l.byName["date_code"].Codes[row]]
	return d.From, d.To, true
}
