package layout

import (
	"fmt"
	"strings"

	"pleatstat/dataset/internal/problem"
)

// EmptyError is returned for a log without openings.
type EmptyError struct {
	HeaderLine int              // line of the header, 0 = the file is empty
	Problem    *problem.Problem // the first that made a line below it unusable; nil if none
}

func (e *EmptyError) Error() string {
	if e.HeaderLine == 0 {
		return "the file is empty; a log has a header line and one line for each part opened"
	}
	s := fmt.Sprintf("the log has a header (line %d) and no openings below it", e.HeaderLine)
	if e.Problem != nil {
		s += fmt.Sprintf(" that can be read; line %d: %s", e.Problem.Line, e.Problem.Message)
	}
	return s
}

// MissingColumnError is returned if there is no header line with a maker, a
// part and at least one measure, which may be a column of the user's own.
type MissingColumnError struct {
	Line    int      // the line most like a header, 0 if none
	Missing []string // "maker", "part", "a measure"
	Found   []string // the headers in that line
	Guesses []Choice // headers in it that may be the missing columns
}

func (e *MissingColumnError) Error() string {
	what := strings.Join(e.Missing, ", ")
	if e.Line == 0 {
		return fmt.Sprintf("no line looks like a header line, with a column each for %s", what)
	}
	text := fmt.Sprintf("line %d, the most like a header, has no column for %s; it has %s", e.Line, what, someOf(e.Found))
	for _, name := range e.Missing {
		if name == "a measure" {
			continue
		}
		var headers, cures []string
		for _, g := range e.Guesses {
			if g.Column == name {
				headers, cures = append(headers, quoted(g.Header)), append(cures, cure(name, g.Header))
			}
		}
		if headers == nil {
			text += fmt.Sprintf(". Which of them is the %s? Say --column %s='ITS HEADER'", name, name)
			continue
		}
		text += fmt.Sprintf(". Is the %s %s? Say %s", name, strings.Join(headers, " or "), strings.Join(cures, " or "))
	}
	if len(e.Missing) > 1 || e.Missing[0] != "a measure" {
		text += ", or write it once into the settings"
	}
	return text
}

// DuplicateColumnError is returned if two headers mean the same column.
type DuplicateColumnError struct {
	Line   int
	Column string    // canonical name
	Texts  [2]string // as written in the log
	Fields [2]int    // 1-based indexes in the header
}

func (e *DuplicateColumnError) Error() string {
	return fmt.Sprintf("line %d: columns %d (%q) and %d (%q) both mean %s; rename one, or say %s or %s",
		e.Line, e.Fields[0], e.Texts[0], e.Fields[1], e.Texts[1], e.Column, cure(e.Column, e.Texts[0]), cure(e.Column, e.Texts[1]))
}

// ChoiceError is returned for a Choice whose column does not exist, or whose
// header is not in the log.
type ChoiceError struct {
	Choice  Choice
	Line    int      // of the header, 0 if the column is unknown
	Headers []string // headers of the log
	Near    string   // the closest existing name, "" if none
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
