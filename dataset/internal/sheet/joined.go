package sheet

import "slices"

// joinedSheet is one of several sheets that are read as one text.
type joinedSheet struct {
	name string
	back []int // by field of the joined text: 1-based column of the sheet, 0 = none
}

// fewestLines is the least difference between the line numbers of consecutive
// sheets.
const fewestLines = 1000

// Joined concatenates sheets into one text. Its line numbers are the rows of
// the first sheet, those of the second plus 1000, those of the third plus 2000,
// and so on, so that a line number identifies both sheet and row. If a sheet
// has more rows, the step is 10,000, 100,000, and so on.
type Joined struct {
	text *Text
	line int
}

// Join begins a joined text of the given sheets. line is the line of the text
// on which its records start.
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

// Begin starts the next sheet. back gives, for each field of the joined text,
// the 1-based column of the sheet it comes from, 0 for none.
func (j *Joined) Begin(t *Text, back []int) {
	j.text.joined = append(j.text.joined, joinedSheet{t.Sheet, back})
	for _, f := range t.Formulas {
		if to := slices.Index(back, f.Column); to >= 0 {
			j.text.Formulas = append(j.text.Formulas, Formula{Row: j.lineOf(f.Row), Column: to + 1, Text: f.Text})
		}
	}
}

// lineOf returns the line number of a row of the current sheet.
func (j *Joined) lineOf(row int) int { return (len(j.text.joined)-1)*j.text.stride + row }

// Record records a row of the current sheet and the number of lines it takes in
// the text.
func (j *Joined) Record(row, lines int) {
	j.text.starts = append(j.text.starts, int32(j.line))
	j.text.rows = append(j.text.rows, int32(j.lineOf(row)))
	j.line += lines
}

// Done returns the text. data holds the records as written.
func (j *Joined) Done(data []byte) *Text {
	j.text.Data = data
	return j.text
}

// Stride returns the difference between the line numbers of consecutive sheets,
// 0 for a text that was not joined.
func (t *Text) Stride() int { return t.stride }

// SourceColumn converts a field of a record (from 1, 0 = the whole line) to the
// column of the file. In a text of several sheets it is the column of the sheet
// to which line, as returned by SourceLine, belongs.
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
