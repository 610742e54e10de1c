package layout

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"slices"
	"strings"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/problem"
	"pleatstat/dataset/internal/sheet"
	"pleatstat/dataset/internal/units"
)

// Sheets lists the sheets of a workbook from which a log was read. It is the
// zero value for a file that is not a workbook.
type Sheets struct {
	Read       []string `json:"read"`                  // in the order of their rows
	PassedOver []string `json:"passed_over"`           // no header of a log found
	Hidden     []string `json:"hidden"`                // hidden and not named, so not read
	Lines      int      `json:"lines_added_per_sheet"` // added to the row numbers once for each earlier sheet, so that lines are unique; 0 if one sheet was read
}

// candidate is a sheet that was read, with its layout or the error that
// prevented one.
type candidate struct {
	text   *sheet.Text
	layout *Layout
	err    error
}

// Find finds the log in a file: its only text, or the sheets of a workbook that
// have the header of a log, one below the other. named is true if the user
// chose the sheets.
func Find(f *sheet.File, named bool, picks Choices) (*sheet.Text, *Layout, Sheets, error) {
	if f.Sheets == nil {
		l, err := findLayout(f.Texts[0], picks)
		return f.Texts[0], l, Sheets{}, err
	}
	var logs, others []candidate
	var sheets Sheets
	for _, text := range f.Texts {
		c := candidate{text: text}
		if c.layout, c.err = findLayout(text, picks); c.err == nil {
			logs = append(logs, c)
			sheets.Read = append(sheets.Read, text.Sheet)
			continue
		}
		others = append(others, c)
		sheets.PassedOver = append(sheets.PassedOver, text.Sheet)
	}
	for _, s := range f.Sheets {
		if s.Hidden && (!named || !slices.ContainsFunc(f.Texts, func(t *sheet.Text) bool { return t.Sheet == s.Name })) {
			sheets.Hidden = append(sheets.Hidden, s.Name)
		}
	}
	if len(logs) == 0 || named && len(others) > 0 {
		return nil, nil, sheets, noLogOn(nearestToLog(others), f.Sheets)
	}
	for _, c := range others { // a sheet with two columns of one meaning is a faulty log, not a page of notes
		var twice *DuplicateColumnError
		if errors.As(c.err, &twice) {
			return nil, nil, sheets, fmt.Errorf("sheet %q: %w", c.text.Sheet, c.err)
		}
	}
	if len(logs) == 1 {
		return logs[0].text, logs[0].layout, sheets, nil
	}
	text, l, err := joinSheets(logs)
	if err != nil {
		return nil, nil, sheets, err
	}
	sheets.Lines = text.Stride()
	return text, l, sheets, nil
}

// nearestToLog returns the sheet whose header names most columns.
func nearestToLog(all []candidate) candidate {
	best, known := all[0], -1
	for _, c := range all {
		n := 0
		if c.layout != nil {
			n = score(c.layout.Headings)
		}
		if n > known {
			best, known = c, n
		}
	}
	return best
}

func noLogOn(c candidate, sheets []sheet.Sheet) error {
	return fmt.Errorf("sheet %q: %w. The sheets of the workbook are %s; --sheet names the ones to read", c.text.Sheet, c.err, sheet.SheetNames(sheets))
}

// joinSheets puts the openings of several sheets below each other, in columns
// that mean the same as those of the first sheet. Columns found only in later
// sheets follow. If a sheet writes a column in another unit, that unit is
// written after its readings.
func joinSheets(logs []candidate) (*sheet.Text, *Layout, error) {
	joined := &Layout{Comma: ',', Line: logs[0].layout.Line}
	targets := make([][]int, len(logs)) // by sheet and field: the joined field, -1 for none
	for i, c := range logs {
		targets[i] = make([]int, len(c.layout.Headings))
		for field, h := range c.layout.Headings {
			targets[i][field] = -1
			if h.Text == "" {
				continue
			}
			to := sameColumn(joined.Headings, h)
			if to < 0 {
				to = len(joined.Headings)
				joined.Headings = append(joined.Headings, h)
			}
			targets[i][field] = to
		}
	}
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	write := func(cells []string) int {
		before := out.Len()
		_ = w.Write(cells) // a buffer returns no error
		w.Flush()
		return bytes.Count(out.Bytes()[before:], []byte{'\n'})
	}
	joined.raw = make([]string, len(joined.Headings))
	for i, h := range joined.Headings {
		joined.raw[i] = h.Text
	}
	joined.Next = 1 + write(joined.raw)
	joined.Offset = out.Len()

	texts := make([]*sheet.Text, len(logs))
	for i, c := range logs {
		texts[i] = c.text
	}
	book, err := sheet.Join(texts, joined.Next)
	if err != nil {
		return nil, nil, err
	}
	cells := make([]string, len(joined.Headings))
	for i, c := range logs {
		back := make([]int, len(joined.Headings)) // 1-based field of the sheet, by joined field; 0 for none
		for field, to := range targets[i] {
			if to >= 0 {
				back[to] = field + 1
			}
		}
		book.Begin(c.text, back)
		units := otherUnits(joined.Headings, c.layout.Headings, targets[i])
		records := c.text.Records(',', c.layout.Offset, c.layout.Next)
		for {
			rec, err := records.Next()
			if err != nil {
				break // io.EOF; records that encoding/csv wrote have no other errors
			}
			if Blank(rec.Fields) || c.layout.Repeated(rec.Fields) {
				continue
			}
			clear(cells)
			beyond := []string{}
			for field, text := range rec.Fields {
				switch {
				case field < len(targets[i]) && targets[i][field] >= 0:
					cells[targets[i][field]] = withUnit(text, units[field])
				case strings.TrimSpace(text) != "" && field >= len(targets[i]):
					beyond = append(beyond, text)
				}
			}
			if out.Len() > sheet.MaxFile {
				return nil, nil, &sheet.LimitError{What: "file", Limit: sheet.MaxFile}
			}
			book.Record(rec.Line, write(append(cells, beyond...)))
		}
	}
	return book.Done(out.Bytes()), joined, nil
}

// sameColumn returns the index of the heading with the same meaning as h, -1 if
// there is none.
func sameColumn(headings []Heading, h Heading) int {
	for i, have := range headings {
		if have.Known != h.Known {
			continue
		}
		if h.Known && have.Match.Column == h.Match.Column || !h.Known && strings.EqualFold(have.Text, h.Text) {
			return i
		}
	}
	return -1
}

// otherUnits returns, by field of a sheet, the unit that differs from the
// joined column's, "" if it does not.
func otherUnits(joined, own []Heading, targets []int) []string {
	out := make([]string, len(own))
	for field, to := range targets {
		if to < 0 || !own[field].Known {
			continue
		}
		d, ok := catalogue.Facts(own[field].Match.Column).Kind.Dimension()
		unit := own[field].Match.Unit
		if !ok || unit == "" || unit == joined[to].Match.Unit {
			continue
		}
		if u, found := units.Find(unit, d); found {
			out[field] = u.Symbol
		}
	}
	return out
}

// withUnit appends a unit to each reading of a cell that has none.
func withUnit(text, unit string) string {
	if unit == "" || strings.TrimSpace(text) == "" {
		return text
	}
	readings := strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == '\n' })
	for i, r := range readings {
		r = strings.TrimSpace(r)
		if last := r; last != "" && (last[len(last)-1] >= '0' && last[len(last)-1] <= '9' || strings.HasSuffix(last, ".")) {
			r += " " + unit
		}
		readings[i] = r
	}
	return strings.Join(readings, "; ")
}

// String describes the sheets in sentences.
func (s Sheets) String() string {
	out := "Sheets read: " + problem.List(problem.Quoted(s.Read))
	if s.Lines > 0 {
		out += fmt.Sprintf(" (line %d is row 2 of %q, and so on)", s.Lines+2, s.Read[1])
	}
	if len(s.PassedOver) > 0 {
		out += ". Passed over, without the header of a log: " + problem.List(problem.Quoted(s.PassedOver))
	}
	if len(s.Hidden) > 0 {
		out += ". Hidden and not read (--sheet reads them): " + problem.List(problem.Quoted(s.Hidden))
	}
	return out + "."
}
