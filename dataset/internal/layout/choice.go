package layout

import (
	"strings"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/header"
	"pleatstat/dataset/internal/spelling"
)

// Choice says which header of a log is which column, where the reader of
// headers would not know or guess wrong.
type Choice struct {
	Column   string // a recorded column by its name or a synonym; a unit may stand in it, as in a header
	Header   string // the header, without regard to case and blanks
	Optional bool   // passed over in a log that has no such header
}

// mostNamed headers are named in a message.
const mostNamed = 12

func someOf(headers []string) string {
	if len(headers) > mostNamed {
		headers = append(headers[:mostNamed:mostNamed], "…")
	}
	return strings.Join(headers, ", ")
}

// cure is what to say on the command line to read a header as a column.
func cure(column, header string) string { return "--column " + column + "=" + quoted(header) }

// cures are what to say for one of several columns.
func cures(columns []string, header string) string {
	said := make([]string, len(columns))
	for i, c := range columns {
		said[i] = cure(c, header)
	}
	return strings.Join(said, " or ")
}

// quoted writes a header as a shell takes it.
func quoted(header string) string {
	if strings.Contains(header, "'") {
		return `"` + header + `"`
	}
	return "'" + header + "'"
}

// Choices are choices that were looked up, by the key of their header.
type Choices map[string]choice

type choice struct {
	match header.Meaning
	said  Choice
}

// Choose looks the columns of choices up. The last choice for a header holds.
func Choose(choices []Choice) (Choices, error) {
	out := Choices{}
	for _, c := range choices {
		m, ok := header.Match(c.Column)
		if !ok || len(m.Others) > 0 {
			return nil, &ChoiceError{Choice: c, Near: header.Nearest(c.Column)}
		}
		out[Key(c.Header)] = choice{m, c}
	}
	return out, nil
}

// Key is the form in which headers are compared: without regard to case and blanks.
func Key(header string) string {
	clean, _ := cellparse.CleanText(header)
	return strings.ToLower(strings.Join(strings.Fields(clean), " "))
}

// match reads a header that was chosen: the unit is the one of the choice, else
// the one in the header.
func (c Choices) match(text string) (header.Meaning, bool) {
	if len(c) == 0 {
		return header.Meaning{}, false
	}
	picked, ok := c[Key(text)]
	if !ok {
		return header.Meaning{}, false
	}
	m := header.Meaning{Column: picked.match.Column, Unit: picked.match.Unit}
	if m.Unit == "" {
		m.Unit = header.UnitIn(catalogue.Facts(m.Column), text)
	}
	return m, true
}

// missing returns the first choice whose header the log does not have.
func (c Choices) missing(l *Layout) error {
	for _, h := range l.Headings {
		if len(c) > 0 {
			delete(c, Key(h.Text))
		}
	}
	var worst *ChoiceError
	for _, left := range c {
		if left.said.Optional || worst != nil && worst.Choice.Header < left.said.Header {
			continue
		}
		worst = &ChoiceError{Choice: left.said, Line: l.Line, Headers: l.texts()}
		for _, text := range worst.Headers {
			if spelling.Distance(Key(text), Key(left.said.Header), 2) <= 2 {
				worst.Near = text
				break
			}
		}
	}
	if worst == nil {
		return nil
	}
	return worst
}
