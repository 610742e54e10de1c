package dataset

import (
	"fmt"
	"math"
	"slices"
	"strconv"
)

// readCodes reads the date codes as dates, where the column as a whole shows
// what they mean, and says once what cannot be read.
func (l *Log) readCodes() {
	c := l.byName["date_code"]
	if c == nil || c.class != texts {
		return
	}
	codes, first := make([]code, len(c.words.words)), make([]int, len(c.words.words))
	opened := l.byName["opened"]
	for row, w := range c.codes {
		k := &codes[w]
		if k.cells++; k.cells == 1 {
			first[w], k.opened = row, math.NaN()
		}
		if opened != nil && !(k.opened <= opened.num[row]) {
			if v := opened.num[row]; v == v {
				k.opened = v // the earliest of those with this code
			}
		}
	}
	codes[0].cells = 0 // blank
	for w, text := range c.words.words {
		codes[w].text = text
	}
	read, open, doubts := readDates(codes)
	note := func(text, message string) {
		l.problem(Problem{Line: l.layout.line, Column: c.field + 1, Name: c.name, Text: text, Severity: Note, Message: message})
	}
	for _, d := range doubts {
		note(d.text, d.message)
	}
	var left unread
	dated, total := 0, 0
	for _, w := range byFirst(codes, first) {
		total += codes[w].cells
		switch {
		case read[w].known():
			dated += codes[w].cells
		case !open[w]:
			left.add(int(l.lines[first[w]]), codes[w].text)
			left.cells += codes[w].cells - 1
		}
	}
	if left.cells > 0 {
		count := strconv.Itoa(left.cells)
		if left.cells == 1 {
			count = "one"
		}
		note(left.text, fmt.Sprintf("%s of %d codes can't be read as a date and stay text, the first in line %d", count, total, left.line))
	}
	if dated == 0 {
		return
	}
	l.codes = read
	def, _ := LookUp("made")
	l.made = &column{name: def.Name, def: def, field: -1, rows: len(l.lines), num: make([]float64, len(l.lines))}
	for row, w := range c.codes {
		l.made.num[row] = (read[w].from + read[w].to) / 2
	}
}

// byFirst lists the codes that stand in cells, in the order of the log.
func byFirst(codes []code, first []int) []int {
	var out []int
	for w := range codes {
		if codes[w].cells > 0 {
			out = append(out, w)
		}
	}
	slices.SortFunc(out, func(a, b int) int { return first[a] - first[b] })
	return out
}

// Made returns the span of time in which a filter was made by its date code,
// in decimal years: a day, a week or a month. It is false where no code was
// read.
func (l *Log) Made(row int) (from, to float64, ok bool) {
	if l.made == nil || row < 0 || row >= len(l.made.num) || math.IsNaN(l.made.num[row]) {
		return math.NaN(), math.NaN(), false
	}
	d := l.codes[l.byName["date_code"].codes[row]]
	return d.from, d.to, true
}
