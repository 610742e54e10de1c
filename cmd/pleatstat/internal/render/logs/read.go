package logs

import (
	"fmt"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
)

// mostRead is how many columns are all named; in a log with more, those under their
// own names are only counted.
const mostRead = 16

// ColumnsRead writes, before anything else, which sheets and columns were read and what
// of the log is not used. It writes nothing about a log without columns.
func ColumnsRead(t *wording.Text, c dataset.ColumnsRead) {
	if len(c.Read) == 0 {
		return
	}
	SheetsRead(t, c.Sheets)
	var read []string
	own := 0
	for _, r := range c.Read {
		switch {
		case !OwnName(r):
			read = append(read, catalogue.Words(r.Column)+" ("+wording.Unbroken("'"+wording.Short(r.Header)+"'")+")")
		case len(c.Read) > mostRead:
			own++
		default:
			read = append(read, catalogue.Words(r.Column))
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
		header := wording.Unbroken("'" + wording.Short(u.Header) + "'")
		if len(u.MayBe) > 0 {
			header += " (" + strings.Join(wording.ColumnNames(u.MayBe), " or ") + "? Say --column)"
		}
		unused = append(unused, header)
	}
	if len(unused) > wording.MaxListed {
		unused = append(unused[:wording.MaxListed:wording.MaxListed], wording.Counted(len(unused)-wording.MaxListed, "more", "more"))
	}
	if len(unused) > 0 {
		text += " Not used: " + strings.Join(unused, ", ") + "."
	}
	t.Para(text)
}

// SheetsRead writes which sheets of a workbook were read and which were not.
func SheetsRead(t *wording.Text, s dataset.Sheets) {
	if len(s.Read)+len(s.PassedOver)+len(s.Hidden) > 1 {
		t.Para(s.String())
	}
}

// OwnName reports whether a header is the name of its column, as written or with a unit
// after it.
func OwnName(r dataset.ReadColumn) bool {
	plain := strings.NewReplacer(" ", "_", "-", "_").Replace(strings.ToLower(strings.TrimSpace(r.Header)))
	return r.Header == r.Column || plain == r.Column || strings.HasPrefix(plain, r.Column+"_")
}
