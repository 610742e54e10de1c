package pages

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"pleatstat/cmd/pleatstat/internal/page"
	"pleatstat/cmd/pleatstat/internal/render/encode"
)

// partLinks holds the row ID of each part with the name that texts give the part,
// by the first word of that name.
type partLinks map[string][]partLink

type partLink struct{ name, row string }

func linksTo(t encode.Table) partLinks {
	links := partLinks{}
	for k, id := range t.RowIDs {
		name := t.Rows[k][0].Text
		first, _, more := strings.Cut(name, " ")
		if more { // a part without a maker could be any word
			links[first] = append(links[first], partLink{name, id})
		}
	}
	return links
}

// spans splits a sentence at the names of parts and links each to its row; where
// several names match, the longest is taken.
func (l partLinks) spans(text string) []page.Span {
	var out []page.Span
	from := 0
	for at := 0; at < len(text); {
		if at == 0 || !wordRune(lastRune(text[:at])) {
			first, _, _ := strings.Cut(text[at:], " ")
			best := partLink{}
			for _, link := range l[first] {
				if rest, there := strings.CutPrefix(text[at:], link.name); there && len(link.name) > len(best.name) && !wordRune(firstRune(rest)) {
					best = link
				}
			}
			if best.name != "" {
				if at > from {
					out = append(out, page.Span{Text: text[from:at]})
				}
				out = append(out, page.Span{Text: best.name, To: best.row})
				at += len(best.name)
				from = at
				continue
			}
		}
		_, size := utf8.DecodeRuneInString(text[at:])
		at += size
	}
	if from < len(text) {
		out = append(out, page.Span{Text: text[from:]})
	}
	return out
}

func firstRune(s string) rune { r, _ := utf8.DecodeRuneInString(s); return r }
func lastRune(s string) rune  { r, _ := utf8.DecodeLastRuneInString(s); return r }

func wordRune(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }
