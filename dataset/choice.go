package dataset

import (
	"strings"
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
func (c headerChoices) match(text string) (match, bool) {
	if len(c) == 0 {
		return match{}, false
	}
	picked, ok := c[choiceKey(text)]
	if !ok {
		return match{}, false
	}
	m := match{column: picked.match.column, unit: picked.match.unit}
	if m.unit == "" {
		m.unit = unitIn(At(m.column), text)
	}
	return m, true
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
