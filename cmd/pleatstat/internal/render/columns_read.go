package render

import (
	"fmt"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/trend"
)

// mostRead columns are all named; of more, those that bear their own names are
// counted.
const mostRead = 16

// ColumnsRead says, first of all, which columns a log was read to have and what
// of it is not used. It writes nothing about a log without any.
func ColumnsRead(t *Text, c dataset.ColumnsRead) {
	if len(c.Read) == 0 {
		return
	}
	var read []string
	own := 0
	for _, r := range c.Read {
		switch {
		case !ownName(r):
			read = append(read, trend.Words(r.Column)+" ("+nonBreaking("'"+short(r.Header)+"'")+")")
		case len(c.Read) > mostRead:
			own++
		default:
			read = append(read, trend.Words(r.Column))
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
		said := nonBreaking("'" + short(u.Header) + "'")
		if len(u.MayBe) > 0 {
			said += " (" + wordsOf(u.MayBe, " or ") + "? Say --column)"
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

// ownName says whether a header is the name of its column, as written or with a
// unit behind it.
func ownName(r dataset.ReadColumn) bool {
	plain := strings.NewReplacer(" ", "_", "-", "_").Replace(strings.ToLower(strings.TrimSpace(r.Header)))
	return r.Header == r.Column || plain == r.Column || strings.HasPrefix(plain, r.Column+"_")
}

func nonBreaking(s string) string { return strings.ReplaceAll(s, " ", nbsp) }

// wordsOf are the words of some columns.
func wordsOf(columns []string, between string) string {
	out := make([]string, len(columns))
	for i, c := range columns {
		out[i] = trend.Words(c)
	}
	return strings.Join(out, between)
}

// columnsJSON is part of the log in every JSON that has one.
type columnsJSON struct {
	Read    []readColumnJSON   `json:"columns_read"`
	NotUsed []unusedColumnJSON `json:"not_used"`
}

type readColumnJSON struct {
	Column string  `json:"column"`
	Header string  `json:"header"`
	Unit   *string `json:"unit"`
	Why    *string `json:"why"`
}

type unusedColumnJSON struct {
	Header string   `json:"header"`
	MayBe  []string `json:"may_be"`
	Why    *string  `json:"why"`
}

func columnsOf(c dataset.ColumnsRead) columnsJSON {
	out := columnsJSON{Read: []readColumnJSON{}, NotUsed: []unusedColumnJSON{}}
	for _, r := range c.Read {
		out.Read = append(out.Read, readColumnJSON{r.Column, r.Header, orNull(r.Unit), orNull(r.Why)})
	}
	for _, u := range c.NotUsed {
		out.NotUsed = append(out.NotUsed, unusedColumnJSON{u.Header, list(u.MayBe), orNull(u.Why)})
	}
	return out
}
