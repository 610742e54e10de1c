package sheet

import "slices"

// sheetBit is where the number of a sheet stands in the line of a joined text:
// above the largest row.
const sheetBit = 21

// joinedSheet is one of several sheets read as one text.
type joinedSheet struct {
	name string
	back []int // by field of the joined text: column of the sheet, 1-based, 0 = none
}

// Joined puts sheets below each other in one text.
type Joined struct {
	text *Text
	line int
}

// NewJoined begins a text of sheets like first, whose records start on a line.
func NewJoined(first *Text, line int) *Joined {
	return &Joined{&Text{Encoding: first.Encoding, Workbook: true, Date1904: first.Date1904}, line}
}

// Begin goes on to the next sheet. Back gives, for each field of the joined
// text, the 1-based column it comes from, 0 for none.
func (j *Joined) Begin(t *Text, back []int) {
	at := len(j.text.joined)
	j.text.joined = append(j.text.joined, joinedSheet{t.Sheet, back})
	for _, f := range t.Formulas {
		if to := slices.Index(back, f.Column); to >= 0 {
			j.text.Formulas = append(j.text.Formulas, Formula{Row: at<<sheetBit | f.Row, Column: to + 1, Text: f.Text})
		}
	}
}

// Record notes a record of the sheet at hand: its row and how many lines of the
// text it takes.
func (j *Joined) Record(row, lines int) {
	j.text.starts = append(j.text.starts, int32(j.line))
	j.text.rows = append(j.text.rows, int32((len(j.text.joined)-1)<<sheetBit|row))
	j.line += lines
}

// Done is the text, with the bytes the records were written to.
func (j *Joined) Done(data []byte) *Text {
	j.text.Data = data
	return j.text
}

// Place turns a line that SourceLine has given, and a 1-based field (0 = the
// whole line), into where it stands: for a text of several sheets the name of
// the sheet, its row and its column.
func (t *Text) Place(line, field int) (name string, row, column int) {
	if len(t.joined) == 0 {
		return "", line, field
	}
	s := t.joined[min(line>>sheetBit, len(t.joined)-1)]
	if field > 0 && field <= len(s.back) && s.back[field-1] > 0 {
		field = s.back[field-1]
	}
	return s.name, line & (1<<sheetBit - 1), field
}
