package dataset

import "fmt"

// unknownHeaders says which columns are kept under their own name, and what
// decided about headers that may mean several.
func (p *pass) unknownHeaders() {
	for _, c := range p.columns {
		h := p.layout.headings[c.field]
		if h.why != "" {
			p.problem(Problem{Line: p.layout.line, Column: c.field + 1, Name: c.name, Text: c.header, Severity: Note,
				Message: "read as " + c.name + ": " + h.why})
		}
		if c.known {
			continue
		}
		if h.unsure != "" {
			p.problem(Problem{Line: p.layout.line, Column: c.field + 1, Name: c.name, Text: c.header, Message: h.unsure, Severity: h.doubt})
			continue
		}
		message := "not a column this tool knows; kept under its own name"
		if near := nearest(c.header); near != "" {
			message = fmt.Sprintf("not a column this tool knows; kept under its own name. Did you mean %s?", near)
		}
		p.problem(Problem{Line: p.layout.line, Column: c.field + 1, Name: c.name, Text: c.header, Message: message, Severity: Note})
	}
}
