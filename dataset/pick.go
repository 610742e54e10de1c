package dataset

import (
	"slices"
	"sync"

	"pleatstat/dataset/internal/cells"
	"pleatstat/dataset/internal/datecode"
)

// pick returns a log of the openings in the given rows, which must ascend.
func (l *Log) pick(rows []int) *Log {
	out := &Log{file: l.file, text: l.text, layout: l.layout, mark: l.mark, units: l.units, sheets: l.sheets, lost: l.lost,
		offsets: cells.AtRows(l.offsets, rows), lines: cells.AtRows(l.lines, rows), selection: l.selection,
		byName: map[string]*cells.Column{}, foreign: map[int]foreignPrice{}, claims: map[int32]Claim{}, inside: map[string]*cells.Column{}, steps: new(sync.Map)}
	place := make(map[int32]int32, len(rows)) // new row by old row
	for to, from := range rows {
		place[int32(from)] = int32(to)
		if price, ok := l.foreign[from]; ok {
			out.foreign[to] = price
		}
		if claim, ok := l.claims[int32(from)]; ok {
			out.claims[int32(to)] = claim
		}
	}
	out.product, out.products = renumbered(cells.AtRows(l.product, rows))
	if l.label != nil {
		out.label, out.labels = renumbered(cells.AtRows(l.label, rows))
		out.settleLabels()
	}
	for _, c := range l.columns {
		picked := c.Pick(rows, place)
		out.columns = append(out.columns, picked)
		out.byName[c.Name] = picked
	}
	for name, c := range l.inside {
		out.inside[name] = c.Pick(rows, place)
	}
	if l.made != nil {
		out.made = l.made.Pick(rows, place)
		out.codes = make([]datecode.Span, len(out.byName["date_code"].Words.List))
		for to, from := range rows {
			out.codes[out.byName["date_code"].Codes[to]] = l.codes[l.byName["date_code"].Codes[from]]
		}
	}
	out.problems = slices.DeleteFunc(slices.Clone(l.problems), func(p Problem) bool {
		row, exact := slices.BinarySearch(l.lines, int32(p.Line))
		if !exact {
			row-- // a cell may start below the first line of its row
		}
		_, kept := place[int32(row)]
		return p.Column > 0 && row >= 0 && !kept
	})
	out.derive()
	return out
}

// renumbered replaces each id by a number from 0, in order of first appearance,
// and returns how many distinct ids there are.
func renumbered(ids []int32) (out []int32, n int) {
	number := map[int32]int32{}
	for _, id := range ids {
		if _, ok := number[id]; !ok {
			number[id] = int32(len(number))
		}
		out = append(out, number[id])
	}
	return out, len(number)
}
