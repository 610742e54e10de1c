package header

import (
	"slices"
	"strings"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/units"
)

// longestHeader is the greatest number of words in a header read by parts; a
// longer text is a sentence about something else.
const longestHeader = 12

// matchParts reads a header by its parts. Every word must be known, since an
// unknown word may change the meaning.
func matchParts(outside, inside string, all []string) (Meaning, bool) {
	if inside != "" {
		if m, ok := combine(tokens(outside), inside); ok {
			return m, true
		}
	}
	return combine(all, "")
}

// combine returns what the things, the quantities and the unit among some words
// mean together. unit is the one in brackets, "" if none.
func combine(words []string, unit string) (Meaning, bool) {
	if len(words) == 0 || len(words) > longestHeader {
		return Meaning{}, false
	}
	words = joinPhrases(words)
	hasUnit := unit != ""
	var things, measures []string
	for i := 0; i < len(words); i++ {
		if n := unitAt(words[i:]); n > 0 && !prepositionAt(words, i) {
			if hasUnit {
				return Meaning{}, false // two units
			}
			unit, hasUnit = strings.Join(words[i:i+n], ""), true
			i += n - 1
			continue
		}
		s, ok := wordSense(words[i])
		if !ok && !prepositionAt(words, i) {
			return Meaning{}, false
		}
		if s.thing != "" && !slices.Contains(things, s.thing) {
			things = append(things, s.thing)
		}
		if s.measure != "" && !slices.Contains(measures, s.measure) {
			measures = append(measures, s.measure)
		}
	}
	return mean(narrowThings(things), narrowMeasures(measures), unit)
}

// MatchKnown returns what a header means without its unknown words, of which
// there may be no more than known ones.
func MatchKnown(text string) (m Meaning, unknown []string, ok bool) {
	var known []string
	for _, w := range joinPhrases(tokens(text)) {
		s, hasSense := wordSense(w)
		switch {
		case hasSense && s != (sense{}), unitAt([]string{w}) > 0, w == "in":
			known = append(known, w)
		case !hasSense:
			unknown = append(unknown, w)
		}
	}
	if len(unknown) == 0 || len(unknown) > len(known) {
		return Meaning{}, nil, false
	}
	m, ok = combine(known, "")
	return m, unknown, ok
}

// joinPhrases replaces each phrase by the one word that stands for it.
func joinPhrases(words []string) []string {
	out := make([]string, 0, len(words))
	for i := 0; i < len(words); i++ {
		word := words[i]
		for n := min(longestPhrase, len(words)-i); n > 1; n-- {
			if one, ok := phrases[strings.Join(words[i:i+n], " ")]; ok {
				word = one
				i += n - 1
				break
			}
		}
		if one, ok := phrases[word]; ok {
			word = one
		}
		out = append(out, word)
	}
	return out
}

// unitAt returns the number of words at the beginning that form one unit or
// currency.
func unitAt(words []string) int {
	for n := min(3, len(words)); n > 0; n-- {
		name := strings.Join(words[:n], "")
		if _, ok := wordSense(name); ok {
			continue // a word of the vocabulary, such as l or w
		}
		if _, ok := units.Any(name); ok && name != "m" || cellparse.IsCurrency(name) {
			return n
		}
	}
	return 0
}

// prepositionAt reports whether the word at i is an "in" followed by a unit: a
// preposition, not inches.
func prepositionAt(words []string, i int) bool {
	return words[i] == "in" && i+1 < len(words) && unitAt(words[i+1:]) > 0
}

// shortest is the least number of letters in an abbreviation that is the
// beginning of a word, and fewestConsonants that in one made of a word's
// consonants.
const shortest, fewestConsonants = 4, 3

// wordSense looks a word up: as it is, without a plural s, or as the
// abbreviation of exactly one sense: the beginning of a word (elem) or its
// consonants (lngth).
func wordSense(word string) (sense, bool) {
	v := vocabulary()
	if s, ok := v.words[word]; ok {
		return s, true
	}
	if len(word) > 3 {
		if s, ok := v.words[strings.TrimSuffix(word, "s")]; ok {
			return s, true
		}
	}
	s, ok := v.shorts[word]
	return s, ok
}

// narrowThings drops the whole if one of its parts is named too, as the element
// beside its media.
func narrowThings(things []string) []string {
	drop := func(thing string, beside ...string) {
		if slices.ContainsFunc(things, func(t string) bool { return t != thing && (len(beside) == 0 || slices.Contains(beside, t)) }) {
			things = slices.DeleteFunc(things, func(t string) bool { return t == thing })
		}
	}
	drop(ofFilter)
	drop(ofWhole)
	drop(ofElement, ofMedia, ofPleats, ofEndCaps, ofSeam, ofCore)
	drop(ofMedia, ofPleats, ofSeam)
	drop(ofCan, ofPlate, ofGasket, ofHoles, ofMagnet)
	drop(ofPlate, ofHoles, ofGasket)
	drop(ofClaim, ofParticle)
	return things
}

// narrowMeasures drops quantities that say less than another beside them.
func narrowMeasures(measures []string) []string {
	if len(measures) > 1 {
		measures = slices.DeleteFunc(measures, func(m string) bool { return m == itsSize })
	}
	if slices.Contains(measures, itsCount) {
		measures = slices.DeleteFunc(measures, func(m string) bool { return m == itsNumber })
	}
	if slices.Contains(measures, itsNumber) && slices.Contains(measures, itsName) {
		measures = slices.DeleteFunc(measures, func(m string) bool { return m == itsNumber })
	}
	return measures
}

// mean returns the column or columns that the things, quantities and unit of a
// header may mean.
func mean(things, measures []string, unit string) (Meaning, bool) {
	if len(things) == 0 {
		if unit == "" && len(measures) == 0 {
			return Meaning{}, false
		}
		things = []string{""}
	}
	several := len(things) > 1 || len(measures) > 1
	if len(measures) == 0 {
		measures = []string{""}
	}
	var found []string
	for _, t := range things {
		for _, m := range measures {
			columns, ok := named[sense{t, m}]
			if !ok {
				return Meaning{}, false
			}
			for _, name := range columns {
				if (unit == "" || accepts(catalogue.Facts(name), unit)) && !slices.Contains(found, name) {
					found = append(found, name)
				}
			}
		}
	}
	if isThin := func(name string) bool { return catalogue.Facts(name).Thin() }; fineUnit(unit) && slices.ContainsFunc(found, isThin) {
		found = slices.DeleteFunc(found, func(name string) bool { return !isThin(name) })
	}
	if len(found) == 0 {
		return Meaning{}, false
	}
	if unit == "" && measures[0] == "" && things[0] == ofWhole {
		return Meaning{}, false // "complete" alone may not mean a mass
	}
	m := Meaning{Column: found[0], Unit: unit, Loose: true}
	if len(found) > 1 {
		m.Others, m.Both = found[1:], several
		if !several && unit == "" && things[0] != "" && measures[0] == "" && catalogue.Facts(found[0]).Kind == catalogue.KindCategory {
			m.Others = nil // "media" alone means the material
		}
	}
	return m, true
}

func fineUnit(unit string) bool {
	u, ok := units.Find(unit, units.Length)
	return ok && u.Base < 1
}

// accepts reports whether a remark can be the unit or the date pattern in a
// column's header.
func accepts(c catalogue.Column, unit string) bool {
	return fitsUnit(c, unit) || c.Kind == catalogue.KindDate && datePattern(unit)
}

// datePattern recognises patterns such as dd/mm/yyyy.
func datePattern(s string) bool {
	return strings.Trim(strings.ToLower(s), "dmyj/.- ") == "" && strings.ContainsAny(s, "yY")
}

// MayName reports whether a word of a header refers to the given thing (maker
// or part) or to a name in general.
func MayName(header, column string) bool {
	return slices.ContainsFunc(joinPhrases(tokens(header)), func(word string) bool {
		s, ok := wordSense(word)
		return ok && (s.thing == column || s.measure == itsName || column == ofPart && s.measure == itsNumber)
	})
}
