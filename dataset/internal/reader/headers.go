package reader

import (
	"fmt"

	"pleatstat/dataset/internal/header"
	"pleatstat/dataset/internal/problem"
)

// unknownHeaders says which columns are kept under their own name, and what
// decided about headers that may mean several.
func (p *Pass) unknownHeaders() {
	for _, c := range p.Columns {
		h := p.Layout.Headings[c.Field]
		if h.Why != "" {
			p.problem(problem.Problem{Line: p.Layout.Line, Column: c.Field + 1, Name: c.Name, Text: c.Header, Severity: problem.Note,
				Message: "read as " + c.Name + ": " + h.Why})
		}
		if c.Known {
			continue
		}
		if h.Unsure != "" {
			p.problem(problem.Problem{Line: p.Layout.Line, Column: c.Field + 1, Name: c.Name, Text: c.Header, Message: h.Unsure, Severity: h.Doubt})
			continue
		}
		message := "not a column this tool knows; kept under its own name"
		if near := header.Nearest(c.Header); near != "" {
			message = fmt.Sprintf("not a column this tool knows; kept under its own name. Did you mean %s?", near)
		}
		p.problem(problem.Problem{Line: p.Layout.Line, Column: c.Field + 1, Name: c.Name, Text: c.Header, Message: message, Severity: problem.Note})
	}
}
