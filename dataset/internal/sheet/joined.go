package sheet

import "slices"

// joinedSheet is one of several sheets read as one text.
type joinedSheet struct {
	name string
	back []int // by field of the joined text: column of the sheet, 1-based, 0 = none
}

// fewestLines is the least room that each sheet has among the lines of a joined
// text.
const fewestLines = 1000

// Joined puts sheets below each other in one text. Its lines are the rows of the
// first sheet; those of the next have a thousand added to them, of the one after
// that two thousand, so that a line says the sheet and the row and none stands
// for two. Where a sheet has more rows it is ten thousand, and so on.
type Joined struct {
	text *Text
	line int
}

// Join begins a text of the given sheets, whose records start on a line.
func Join(sheets []*Text, line int) (*Joined, error) {
	t := &Text{Encoding: sheets[0].Encoding, Workbook: true, Date1904: sheets[0].Date1904, stride: fewestLines}
	for _, s := range sheets {
		for len(s.rows) > 0 && int(s.rows[len(s.rows)-1]) >= t.stride {
			t.stride *= 10
		}
	}
	if len(sheets)*t.stride > 1<<31-1 {
		return nil, &LimitError{What: "the sheets", Limit: MaxFile}
	}
	return &Joined{t, line}, nil
}

// Begin goes on to the next sheet. Back gives, for each field of the joined
// text, the 1-based column it comes from, 0 for none.
func (j *Joined) Begin(t *Text, back []int) {
	j.text.joined = append(j.text.joined, joinedSheet{t.Sheet, back})
	for _, f := range t.Formulas {
		if to := slices.Index(back, f.Column); to >= 0 {
			j.text.Formulas = append(j.text.Formulas, Formula{Row: j.lineOf(f.Row), Column: to + 1, Text: f.Text})
		}
	}
}

// lineOf is the line of a row of the sheet at hand.
func (j *Joined) lineOf(row int) int { return (len(j.text.joined)-1)*j.text.stride + row }

// Record notes a record of the sheet at hand: its row and how many lines of the
// text it takes.
func (j *Joined) Record(row, lines int) {
	j.text.starts = append(j.text.starts, int32(j.line))
	j.text.rows = append(j.text.rows, int32(j.lineOf(row)))
	j.line += lines
}

// Done is the text, with the bytes the records were written to.
func (j *Joined) Done(data []byte) *Text {
	j.text.Data = data
	return j.text
}

// Stride is how many lines are added from one sheet to the next, 0 for a text of
// one.
func (t *Text) Stride() int { return t.stride }

// SourceColumn turns a 1-based field of a record (0 = the whole line) into the
// column of the file: for a text of several sheets, of the sheet that holds the
// line, as SourceLine gives it.
func (t *Text) SourceColumn(line, field int) int {
	if len(t.joined) == 0 || field < 1 || line < 1 {
		return field
	}
	back := t.joined[min(line/t.stride, len(t.joined)-1)].back
	if field <= len(back) && back[field-1] > 0 {
		return back[field-1]
	}
	return field
}
