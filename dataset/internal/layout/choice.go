package layout

import (
	"strings"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/header"
	"pleatstat/dataset/internal/spelling"
)

// Choice assigns a header of a log to a column where the header alone would not
// be recognised, or would be read wrongly.
type Choice struct {
	Column   string // name or synonym of a recorded column, with or without a unit
	Header   string // the header; case and spacing do not matter
	Optional bool   // ignored in a log without that header
}

// mostNamed is the number of headers that a message names.
const mostNamed = 12

func someOf(headers []string) string {
	if len(headers) > mostNamed {
		headers = append(headers[:mostNamed:mostNamed], "…")
	}
	return strings.Join(headers, ", ")
}

// cure returns the command-line option that reads a header as a column.
func cure(column, header string) string { return "--column " + column + "=" + quoted(header) }

// cures returns the options that read a header as each of several columns.
func cures(columns []string, header string) string {
	options := make([]string, len(columns))
	for i, c := range columns {
		options[i] = cure(c, header)
	}
	return strings.Join(options, " or ")
}

// quoted quotes a header for a shell.
func quoted(header string) string {
	if strings.Contains(header, "'") {
		return `"` + header + `"`
	}
	return "'" + header + "'"
}

// Choices are choices with their columns looked up, by the key of their header.
type Choices map[string]choice

type choice struct {
	match header.Meaning
	given Choice
}

// Choose looks up the columns of choices. The last choice for a header applies.
// It fails with *ChoiceError.
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

// Key returns the form in which headers are compared: lower case, with single
// spaces.
func Key(header string) string {
	clean, _ := cellparse.CleanText(header)
	return strings.ToLower(strings.Join(strings.Fields(clean), " "))
}

// match returns the meaning of a header that was chosen. Its unit is that of
// the choice, else the one in the header.
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

// missing returns an error for a choice whose header is not in the log, the
// first in alphabetical order. It removes the choices that are.
func (c Choices) missing(l *Layout) error {
	for _, h := range l.Headings {
		if len(c) > 0 {
			delete(c, Key(h.Text))
		}
	}
	var worst *ChoiceError
	for _, left := range c {
		if left.given.Optional || worst != nil && worst.Choice.Header < left.given.Header {
			continue
		}
		worst = &ChoiceError{Choice: left.given, Line: l.Line, Headers: l.texts()}
		for _, text := range worst.Headers {
			if spelling.Distance(Key(text), Key(left.given.Header), 2) <= 2 {
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
