package render

import (
	"fmt"
	"strings"

	"pleatstat/dataset"
)

// mostRead columns are all named; of more, those that bear their own names are
// counted.
const mostRead = 16

// ColumnsRead says, first of all, which sheets and columns a log was read to have and what
// of it is not used. It writes nothing about a log without any.
func ColumnsRead(t *Text, c dataset.ColumnsRead) {
	if len(c.Read) == 0 {
		return
	}
	sheetsRead(t, c.Sheets)
	var read []string
	own := 0
	for _, r := range c.Read {
		switch {
		case !ownName(r):
			read = append(read, dataset.Words(r.Column)+" ("+unbroken("'"+short(r.Header)+"'")+")")
		case len(c.Read) > mostRead:
			own++
		default:
			read = append(read, dataset.Words(r.Column))
		}
	}
	text := "Columns read: "
	switch {
	case len(read) == 0:
		text += fmt.Sprintf("all %d, each under its own name.", own)
	case own == 0:
		text += strings.Join(read, ", ") + "."
	default:
		text += strings.Join(read, ", ") + fmt.Sprintf(" and %d under their own names.", own)
	}
	var unused []string
	for _, u := range c.NotUsed {
		said := unbroken("'" + short(u.Header) + "'")
		if len(u.MayBe) > 0 {
			said += " (" + strings.Join(columnNames(u.MayBe), " or ") + "? Say --column)"
		}
		unused = append(unused, said)
	}
	if len(unused) > maxListed {
		unused = append(unused[:maxListed:maxListed], counted(len(unused)-maxListed, "more", "more"))
	}
	if len(unused) > 0 {
		text += " Not used: " + strings.Join(unused, ", ") + "."
	}
	t.Para(text)
}

// sheetsRead says which sheets of a workbook were read and which were not.
func sheetsRead(t *Text, s dataset.Sheets) {
	if len(s.Read)+len(s.PassedOver)+len(s.Hidden) > 1 {
		t.Para(s.String())
	}
}

// ownName says whether a header is the name of its column, as written or with a
// unit behind it.
func ownName(r dataset.ReadColumn) bool {
	plain := strings.NewReplacer(" ", "_", "-", "_").Replace(strings.ToLower(strings.TrimSpace(r.Header)))
	return r.Header == r.Column || plain == r.Column || strings.HasPrefix(plain, r.Column+"_")
}

// readLogJSON is the log in the JSON of every command that says no more of it.
type readLogJSON struct {
	File  string `json:"file"`
	Rows  int    `json:"rows"`
	Units string `json:"units"`
	dataset.ColumnsRead
}

// readLogOf is the log of a run; used are columns of the log's own that the run
// is about.
func readLogOf(l *dataset.Log, used ...string) readLogJSON {
	return readLogJSON{l.File(), l.Rows(), l.Units().System(), l.ColumnsRead().Using(used...)}
}
