package dataset

import (
	"fmt"
	"strings"
)

// Choice says which header of a log is which column, where the reader of
// headers would not know or guess wrong.
type Choice struct {
	Column   string // a recorded column by its name or a synonym; a unit may stand in it, as in a header
	Header   string // the header, without regard to case and blanks
	Optional bool   // passed over in a log that has no such header
}

// ChoiceError is returned for a choice that names no column, or a header the
// log does not have.
type ChoiceError struct {
	Choice  Choice
	Line    int      // of the header, 0 where the column is unknown
	Headers []string // those of the log
	Near    string   // what may have been meant, "" for nothing
}

func (e *ChoiceError) Error() string {
	what, name := "header", e.Choice.Header
	if e.Line == 0 {
		what, name = "column", e.Choice.Column
	}
	s := fmt.Sprintf("--column %s=%s: there is no %s %q", e.Choice.Column, quoted(e.Choice.Header), what, name)
	switch {
	case e.Near != "":
		s += fmt.Sprintf("; did you mean %q?", e.Near)
	case e.Line == 0:
		s += `; "pleatstat columns" lists them`
	default:
		s += fmt.Sprintf(" in line %d; it has %s", e.Line, someOf(e.Headers))
	}
	return s
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

// quoted writes a header as a shell takes it.
func quoted(header string) string {
	if strings.Contains(header, "'") {
		return `"` + header + `"`
	}
	return "'" + header + "'"
}

// headerChoices are choices that were looked up, by the key of their header.
type headerChoices map[string]choice

type choice struct {
	match match
	said  Choice
}

// choose looks the columns of choices up. The last choice for a header holds.
func choose(choices []Choice) (headerChoices, error) {
	out := headerChoices{}
	for _, c := range choices {
		m, ok := matchHeader(c.Column)
		if !ok || len(m.others) > 0 {
			return nil, &ChoiceError{Choice: c, Near: nearest(c.Column)}
		}
		out[choiceKey(c.Header)] = choice{m, c}
	}
	return out, nil
}

func choiceKey(header string) string {
	clean, _ := cleanText(header)
	return strings.ToLower(strings.Join(strings.Fields(clean), " "))
}

// match reads a header that was chosen: the unit is the one of the choice, else
// the one in the header.
func (c headerChoices) match(header string) (match, bool) {
	if len(c) == 0 {
		return match{}, false
	}
	picked, ok := c[choiceKey(header)]
	if !ok {
		return match{}, false
	}
	m := match{column: picked.match.column, unit: picked.match.unit}
	if m.unit == "" {
		m.unit = unitIn(recorded[m.column], header)
	}
	return m, true
}

// unitIn finds a unit of a column in a header that does not name the column.
func unitIn(c Column, header string) string {
	outside, inside := cutBrackets(header)
	if inside != "" && accepts(c, inside) {
		return inside
	}
	words := joinPhrases(tokens(outside))
	for n := min(3, len(words)-1); n > 0; n-- {
		if unit := strings.Join(words[len(words)-n:], ""); c.Kind != KindCount && fitsUnit(c, unit) {
			return unit
		}
	}
	return ""
}

// missing returns the first choice whose header the log does not have.
func (c headerChoices) missing(l *layout) error {
	for _, h := range l.headings {
		if len(c) > 0 {
			delete(c, choiceKey(h.text))
		}
	}
	var worst *ChoiceError
	for _, left := range c {
		if left.said.Optional || worst != nil && worst.Choice.Header < left.said.Header {
			continue
		}
		worst = &ChoiceError{Choice: left.said, Line: l.line, Headers: l.texts()}
		for _, text := range worst.Headers {
			if editDistance(choiceKey(text), choiceKey(left.said.Header), 2) <= 2 {
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
