package dataset

import "slices"

// pick returns the log of some openings, in ascending order of rows.
func (l *Log) pick(rows []int) *Log {
	out := &Log{file: l.file, text: l.text, layout: l.layout, mark: l.mark, units: l.units, sheets: l.sheets, lost: l.lost,
		offsets: some(l.offsets, rows), lines: some(l.lines, rows), selection: l.selection,
		byName: map[string]*column{}, foreign: map[int]foreignPrice{}, claims: map[int32]Claim{}, inside: map[string]*column{}}
	place := make(map[int32]int32, len(rows)) // of a row, in the new log
	number := map[int32]int32{}               // of a product, in the new log
	for to, from := range rows {
		place[int32(from)] = int32(to)
		id, ok := number[l.product[from]]
		if !ok {
			id = int32(len(number))
			number[l.product[from]] = id
		}
		out.product = append(out.product, id)
		if price, ok := l.foreign[from]; ok {
			out.foreign[to] = price
		}
		if claim, ok := l.claims[int32(from)]; ok {
			out.claims[int32(to)] = claim
		}
	}
	out.products = len(number)
	out.pickLabels(l, rows)
	for _, c := range l.columns {
		picked := c.pick(rows, place)
		out.columns = append(out.columns, picked)
		out.byName[c.name] = picked
	}
	for name, c := range l.inside {
		out.inside[name] = c.pick(rows, place)
	}
	if l.made != nil {
		out.made = l.made.pick(rows, place)
		out.codes = make([]codeDate, len(out.byName["date_code"].words.words))
		for to, from := range rows {
			out.codes[out.byName["date_code"].codes[to]] = l.codes[l.byName["date_code"].codes[from]]
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
