// Package header finds the column that a header of a log names: by a whole name
// or synonym of the catalogue, or by its parts (the thing, the quantity
// measured on it, the unit). It looks at the words of one header and at no
// cells; if the words are ambiguous it returns several columns.
package header

import (
	"strings"
	"sync"
	"unicode"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/units"
)

// Meaning is what a header says: the recorded column it names, and the unit or
// other remark in it.
type Meaning struct {
	Column string   // its name in the catalogue
	Unit   string   // unit, currency or date pattern as written, "" if none
	Loose  bool     // matched by parts, not by a whole name
	Others []string // further columns it may mean
	Both   bool     // it names several columns at once, so the cells cannot decide
}

// All returns every column the header may mean.
func (m Meaning) All() []string { return append([]string{m.Column}, m.Others...) }

// Match returns the recorded column that a header names: by a whole name or
// synonym with a unit in brackets or at the end, else by parts.
func Match(text string) (Meaning, bool) {
	if !strings.ContainsFunc(text, isHeaderLetter) || len(text) > maxHeader {
		return Meaning{}, false // quick exit for cells: every line is tried as a header
	}
	outside, inside := cutBrackets(text)
	all := tokens(text)
	if m, ok := matchWhole(outside, inside, all); ok {
		return m, true
	}
	if m, ok := matchParts(outside, inside, all); ok {
		return m, true
	}
	if _, isUnit := units.Any(inside); inside == "" || isUnit {
		return Meaning{}, false
	}
	without := tokens(outside) // a remark such as (dry) does not change the column
	if m, ok := matchWhole(outside, "", without); ok {
		return m, true
	}
	return combine(without, "")
}

// isHeaderLetter reports whether a character makes a text a possible header; a
// currency sign alone can be one.
func isHeaderLetter(r rune) bool { return unicode.IsLetter(r) || strings.ContainsRune("%$€£¥", r) }

func matchWhole(outside, inside string, all []string) (Meaning, bool) {
	if inside != "" {
		if i, ok := byKey(tokens(outside)); ok && (fitsUnit(catalogue.Facts(i), inside) || catalogue.Facts(i).Kind == catalogue.KindDate) {
			return Meaning{Column: i, Unit: inside}, true
		}
	}
	if i, ok := byKey(all); ok {
		return Meaning{Column: i}, true
	}
	return unitBehind(all)
}

// unitBehind matches a name followed by a unit of one to three words, with an
// "in" between them if that is a preposition.
func unitBehind(words []string) (Meaning, bool) {
	for n := 1; n <= 3 && n < len(words); n++ {
		name, unit := words[:len(words)-n], strings.Join(words[len(words)-n:], "")
		i, ok := byKey(name)
		if !ok && len(name) > 1 && name[len(name)-1] == "in" {
			i, ok = byKey(name[:len(name)-1])
		}
		if ok && fitsUnit(catalogue.Facts(i), unit) {
			return Meaning{Column: i, Unit: unit}, true
		}
	}
	return Meaning{}, false
}

// fitsUnit reports whether a text is a unit in which a column can be written.
func fitsUnit(c catalogue.Column, unit string) bool {
	switch c.Kind {
	case catalogue.KindMoney:
		return cellparse.IsCurrency(unit)
	case catalogue.KindCount:
		return CountWord(unit)
	}
	d, ok := c.Kind.Dimension()
	if !ok {
		return false
	}
	_, ok = units.Find(unit, d)
	return ok
}

// CountWord reports whether a text is a word written after a count: a general
// one, or the name of a thing that is counted.
func CountWord(s string) bool {
	word := strings.ToLower(strings.Trim(s, ". "))
	switch word {
	case "pcs", "pc", "ea", "each", "pack", "count", "n", "no", "number", "#", "x":
		return true
	}
	return catalogue.IsCounted(word)
}

// cutBrackets separates the last bracketed remark from the rest of a header.
func cutBrackets(s string) (outside, inside string) {
	open := strings.LastIndexAny(s, "([{")
	if open < 0 {
		return s, ""
	}
	length := strings.IndexAny(s[open:], ")]}")
	if length < 0 {
		return s, ""
	}
	return strings.TrimSpace(s[:open] + " " + s[open+length+1:]), strings.TrimSpace(s[open+1 : open+length])
}

// maxHeader is the greatest length of a header in bytes; a longer text is not a
// header.
const maxHeader = 200

// tokens splits a header into lower-case words: at spaces and punctuation, and
// where a capital follows a small letter. Signs that are units are words of
// their own.
func tokens(s string) []string {
	if len(s) > maxHeader {
		return nil
	}
	var out []string
	var word []rune
	flush := func() {
		if len(word) > 0 {
			out = append(out, string(word))
			word = word[:0]
		}
	}
	small := false
	for _, r := range s {
		switch {
		case strings.ContainsRune(`%$€£¥"″”`, r):
			flush()
			out = append(out, string(r))
		case r == '#':
			flush()
			out = append(out, "number")
		case unicode.IsLetter(r) || unicode.IsDigit(r) || r == '²' || r == '³' || r == '^':
			if small && unicode.IsUpper(r) {
				flush()
			}
			small = unicode.IsLower(r)
			word = append(word, unicode.ToLower(r))
			continue
		case (r == '\'' || r == '’') && len(word) > 0: // mat'l
			continue
		default:
			flush()
		}
		small = false
	}
	flush()
	return out
}

// sameWord maps words to the synonym used in keys, and words without meaning to
// "".
var sameWord = map[string]string{
	"weight": "mass", "wt": "mass", "weights": "mass", "gage": "gauge", "guage": "gauge",
	"dia": "diameter", "diam": "diameter", "qty": "quantity", "no": "number", "nr": "number", "num": "number", "nos": "number",
	"thk": "thickness", "thick": "thickness", "len": "length", "lenght": "length", "hgt": "height", "ht": "height", "paper": "media",
	"fiber": "fibre", "baseplate": "base plate", "endcap": "end cap", "endcaps": "end caps", "drainback": "drain back", "mfr": "maker", "mfg": "maker",
	"avg": "", "average": "", "mean": "", "the": "", "measured": "", "filter": "", "oil": "", "flat": "", "dry": "", "empty": "",
}

// headerKey returns the form in which columns are looked up: synonyms replaced,
// "mass of can" turned into "can mass", joined without spaces.
func headerKey(words []string) string {
	var kept []string
	for _, w := range words {
		if same, ok := sameWord[w]; ok {
			w = same
		}
		if w != "" {
			kept = append(kept, w)
		}
	}
	for i, w := range kept {
		if w == "of" && i > 0 && i < len(kept)-1 {
			kept = append(append([]string{}, kept[i+1:]...), kept[:i]...)
			break
		}
	}
	key := strings.ReplaceAll(strings.Join(kept, ""), " ", "")
	return strings.ReplaceAll(key, "tappingplate", "baseplate")
}

// Key returns the lookup form of a whole header.
func Key(text string) string { return headerKey(tokens(text)) }

// headerIndex maps the key of a name or synonym to its column. It is built when
// the first header is read, not when the program starts.
var headerIndex = sync.OnceValue(func() map[string]string {
	index := map[string]string{}
	for c := range catalogue.Recorded() {
		for _, name := range append([]string{c.Name}, c.Synonyms...) {
			if key := Key(name); key != "" {
				index[key] = c.Name
			}
		}
	}
	return index
})

func byKey(words []string) (string, bool) {
	key := headerKey(words)
	if key == "" {
		return "", false
	}
	i, ok := headerIndex()[key]
	if rest, number := strings.CutPrefix(key, "number"); !ok && number { // "# pleats"
		i, ok = headerIndex()[rest]
		ok = ok && catalogue.Facts(i).Kind == catalogue.KindCount
	}
	return i, ok
}

// UnitIn returns the unit of a column from a header that does not name the
// column, "" if there is none.
func UnitIn(c catalogue.Column, header string) string {
	outside, inside := cutBrackets(header)
	if inside != "" && accepts(c, inside) {
		return inside
	}
	words := joinPhrases(tokens(outside))
	for n := min(3, len(words)-1); n > 0; n-- {
		if unit := strings.Join(words[len(words)-n:], ""); c.Kind != catalogue.KindCount && fitsUnit(c, unit) {
			return unit
		}
	}
	return ""
}
