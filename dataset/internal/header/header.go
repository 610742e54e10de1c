// Package header says which column the header of a log names: by a whole name or
// synonym of the catalogue, or by its parts (the thing, what was measured of it, the
// unit). It sees the words of one header and no cells; what they leave open it gives as
// several columns.
package header

import (
	"strings"
	"sync"
	"unicode"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/units"
)

// Meaning is what a header says: which recorded column it names, and the unit or
// other remark that stands in it.
type Meaning struct {
	Column string   // its name in the catalogue
	Unit   string   // unit, currency or date pattern as written, "" for none
	Loose  bool     // by parts, not by a whole name
	Others []string // further columns it may mean
	Both   bool     // it names several at once, no numbers will tell which
}

// All are the columns it may mean.
func (m Meaning) All() []string { return append([]string{m.Column}, m.Others...) }

// Match finds the recorded column a header names: by a whole name or
// synonym with a unit in brackets or behind it, else by parts.
func Match(text string) (Meaning, bool) {
	if !strings.ContainsFunc(text, isHeaderLetter) || len(text) > maxHeader {
		return Meaning{}, false // as most cells of the lines below, which are looked at too
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
	without := tokens(outside) // a remark such as (dry) says nothing about the column
	if m, ok := matchWhole(outside, "", without); ok {
		return m, true
	}
	return combine(without, "")
}

// isHeaderLetter: a header may be a currency sign alone.
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

// unitBehind splits a unit of one to three words off the end of a name, with
// an "in" before it where that is a preposition.
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

// fitsUnit says whether a text is a unit a column can be written in.
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

// CountWord: words people write behind a count of anything, or of one of the
// things that are counted.
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

// maxHeader bounds the text of one header, in bytes; longer ones name nothing.
const maxHeader = 200

// tokens takes a header apart into lower-case words: at blanks and punctuation
// and where small letters turn to capitals. Signs that are units stand alone.
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

// words that mean the same in a header, and words that mean nothing.
var sameWord = map[string]string{
	"weight": "mass", "wt": "mass", "weights": "mass", "gage": "gauge", "guage": "gauge",
	"dia": "diameter", "diam": "diameter", "qty": "quantity", "no": "number", "nr": "number", "num": "number", "nos": "number",
	"thk": "thickness", "thick": "thickness", "len": "length", "lenght": "length", "hgt": "height", "ht": "height", "paper": "media",
	"fiber": "fibre", "baseplate": "base plate", "endcap": "end cap", "endcaps": "end caps", "drainback": "drain back", "mfr": "maker", "mfg": "maker",
	"avg": "", "average": "", "mean": "", "the": "", "measured": "", "filter": "", "oil": "", "flat": "", "dry": "", "empty": "",
}

// headerKey brings the words of a header to the form columns are looked up by:
// one spelling for what means the same, "mass of can" turned to "can mass",
// joined without gaps.
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

// Key is that form of a whole text.
func Key(text string) string { return headerKey(tokens(text)) }

// headerIndex finds a column by the key of its name or of a synonym. It is made
// when the first header is read, not when the program starts.
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

// UnitIn finds a unit of a column in a header that does not name the column.
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
