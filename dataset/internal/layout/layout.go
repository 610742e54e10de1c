// Package layout finds the log in a file: which sheets hold one, the separator,
// the header line, and the column of each field. If a header may mean several
// columns, the other headers and the first cells below decide.
package layout

import (
	"bytes"
	"errors"
	"io"
	"slices"
	"strings"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/header"
	"pleatstat/dataset/internal/problem"
	"pleatstat/dataset/internal/sheet"
)

// headerWithin is the number of records among which the header is looked for;
// only titles may precede it.
const headerWithin = 50

// Heading is one field of the header.
type Heading struct {
	Text   string
	Match  header.Meaning
	Known  bool
	picked bool             // assigned by a Choice
	Why    string           // what decided between several possible columns
	Unsure string           // why it is not used although it resembles a column
	May    []string         // the columns it may then mean
	Doubt  problem.Severity // severity of Unsure
}

// Layout describes where the parts of a log are: the separator, the header, the
// first opening.
type Layout struct {
	Comma    rune
	Headings []Heading
	Line     int // line of the header
	raw      []string
	Offset   int // byte offset of the first record below the header
	Next     int // line at that offset
}

// findLayout determines the separator and the header line together: the header
// is the line that names most columns when split at the right separator.
func findLayout(text *sheet.Text, picks Choices) (*Layout, error) {
	separators := []rune{',', ';', '\t', '|'}
	if text.Workbook {
		separators = separators[:1]
	}
	var best *Layout
	var limit *sheet.LimitError
	for _, comma := range separators {
		l, err := headerFor(text, comma, picks)
		if errors.As(err, &limit) {
			continue
		}
		if err != nil {
			return nil, err
		}
		if l != nil && (best == nil || score(l.Headings) > score(best.Headings)) {
			best = l
		}
	}
	switch {
	case limit != nil && (best == nil || score(best.Headings) == 0):
		return nil, limit
	case best == nil:
		return nil, &EmptyError{}
	}
	if err := best.settle(text, picks); err != nil {
		return best, err
	}
	return best, best.complete(text)
}

// headerFor returns the best header line for one separator, nil for a text
// without records.
func headerFor(text *sheet.Text, comma rune, picks Choices) (*Layout, error) {
	records := text.Records(comma, 0, 1)
	var best *Layout
	var above []string // cells of the line above; aboveNames and aboveScore describe it
	var aboveNames []Heading
	aboveScore := 0
	for range headerWithin {
		rec, err := records.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		if rec.Broken != "" || Blank(rec.Fields) {
			continue
		}
		raw := cloneFields(rec.Fields)
		alone := matchAll(raw, picks)
		headings, aloneScore := alone, score(alone)
		own := aloneScore
		if joined := joinRows(above, raw); joined != nil {
			// A second header row adds units or the parts of a group. The two
			// together must name more columns than either row alone.
			two := matchAll(joined, picks)
			if s := score(two); s > own && s >= aboveScore && keeps(two, aboveNames, raw, s == aboveScore) {
				headings, own = two, s
			}
		}
		if best == nil || own > score(best.Headings) || own == score(best.Headings) && own > 0 && own > aloneScore {
			best = &Layout{Comma: comma, Headings: headings, Line: rec.Line, raw: raw,
				Offset: records.Offset(), Next: 1 + bytes.Count(text.Data[:records.Offset()], []byte{'\n'})}
		}
		above, aboveNames, aboveScore = raw, alone, aloneScore
	}
	return best, nil
}

func cloneFields(fields []string) []string {
	out := make([]string, len(fields))
	for i, f := range fields {
		clean, _ := cellparse.CleanText(f)
		out[i] = strings.Clone(cellparse.UnescapeFormula(clean))
	}
	for len(out) > 0 && out[len(out)-1] == "" {
		out = out[:len(out)-1]
	}
	return out
}

// Blank reports whether all fields of a record are blank.
func Blank(fields []string) bool {
	return !slices.ContainsFunc(fields, func(s string) bool { return strings.TrimSpace(s) != "" })
}

func matchAll(texts []string, picks Choices) []Heading {
	out := make([]Heading, len(texts))
	for i, t := range texts {
		m, picked := picks.match(t)
		ok := picked
		if !picked {
			m, ok = header.Match(t)
		}
		out[i] = Heading{Text: t, Match: m, Known: ok, picked: picked}
	}
	return out
}

// texts returns the headers that are not blank.
func (l *Layout) texts() []string {
	var out []string
	for _, h := range l.Headings {
		if h.Text != "" {
			out = append(out, h.Text)
		}
	}
	return out
}

// score returns the number of different columns that a line names.
func score(headings []Heading) int {
	seen := map[string]bool{}
	for _, h := range headings {
		if h.Known {
			seen[h.Match.Column] = true
		}
	}
	return len(seen)
}

// keeps reports whether joining a second header row leaves the columns of the
// first unchanged: maker and part or, if all is set, every column, and then
// each cell of the second row that is not blank must add a unit. A row of
// values that resemble headers fails.
func keeps(two, above []Heading, below []string, all bool) bool {
	for i, h := range above {
		if !h.Known || h.Match.Loose {
			continue
		}
		if name := h.Match.Column; !all && name != "maker" && name != "part" {
			continue
		}
		if i >= len(two) || !two[i].Known || two[i].Match.Column != h.Match.Column {
			return false
		}
		if all && i < len(below) && below[i] != "" && below[i] != "-" && two[i].Match.Unit == h.Match.Unit {
			return false
		}
	}
	return true
}

// joinRows joins a header row of groups ("Media", "", "Can") or of names with
// one of details or units below it ("length", "width", "mm"). It returns nil if
// either row is empty.
func joinRows(above, below []string) []string {
	if len(above) == 0 || len(below) == 0 {
		return nil
	}
	out := make([]string, max(len(above), len(below)))
	group := ""
	for i := range out {
		var up, down string
		if i < len(above) {
			up = above[i]
		}
		if i < len(below) {
			down = below[i]
		}
		if up != "" {
			group = up
		}
		out[i] = strings.TrimSpace(group + " " + down)
		if down == "" || down == "-" {
			out[i] = up
		} else if m, ok := header.Match(out[i]); !ok || m.Both {
			if _, ok := header.Match(down); ok || up == "" {
				out[i] = down
			}
		}
	}
	return out
}

// complete checks that the header has every required column, and each column
// once.
func (l *Layout) complete(text *sheet.Text) error {
	byColumn := map[string]int{}
	measure := false
	for i, h := range l.Headings {
		if !h.Known {
			measure = measure || h.Text != "" // a column of the user's own is enough
			continue
		}
		if first, ok := byColumn[h.Match.Column]; ok {
			return &DuplicateColumnError{Line: l.Line, Column: h.Match.Column,
				Texts: [2]string{l.Headings[first].Text, h.Text}, Fields: [2]int{first + 1, i + 1}}
		}
		byColumn[h.Match.Column] = i
		switch c := catalogue.Facts(h.Match.Column); c.Kind {
		case catalogue.KindText, catalogue.KindDate:
		default:
			measure = measure || c.Name != "pack_quantity" && c.Name != catalogue.RateColumn
		}
	}
	// If no column is named maker, "made by" is the name on the part.
	if at, ok := byColumn["made_by"]; ok {
		if _, named := byColumn["maker"]; !named {
			l.Headings[at].Match.Column = "maker"
			byColumn["maker"] = at
		}
	}
	missing := &MissingColumnError{Line: l.Line}
	for _, name := range []string{"maker", "part"} {
		if _, ok := byColumn[name]; !ok {
			missing.Missing = append(missing.Missing, name)
		}
	}
	if !measure {
		missing.Missing = append(missing.Missing, "a measure")
	}
	if missing.Missing == nil {
		return nil
	}
	if len(byColumn) == 0 {
		missing.Line = 0
	}
	missing.Found = l.texts()
	for _, name := range missing.Missing {
		if missing.Line > 0 && name != "a measure" {
			for _, header := range l.guess(text, name, missing.Guesses) {
				missing.Guesses = append(missing.Guesses, Choice{Column: name, Header: header})
			}
		}
	}
	return missing
}

// Repeated reports whether a record repeats the header, as in logs that were
// pasted together.
func (l *Layout) Repeated(fields []string) bool {
	if len(fields) < len(l.raw) {
		return false
	}
	for i, t := range l.raw {
		if clean, _ := cellparse.CleanText(fields[i]); cellparse.UnescapeFormula(clean) != t {
			return false
		}
	}
	return true
}
