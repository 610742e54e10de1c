package changes

import (
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/stats/drift"
)

// originFirst puts before the sentence of a change that the country printed on the
// filters changed with the readings. The sentence begins with the maker's name or with
// a word that takes a small letter after the colon.
func originFirst(e drift.Entry, sentence string) string {
	t := e.Statement
	if t.OriginNow == "" {
		return sentence
	}
	first := "Since they are made in " + wording.Short(t.OriginNow)
	if e.Part != "" {
		first = "Since it is made in " + wording.Short(t.OriginNow)
	}
	if t.OriginThen != "" {
		first += " and no longer in " + wording.Short(t.OriginThen)
	}
	if word, _, _ := strings.Cut(sentence, " "); word == "Around" || word == "The" || word == "In" {
		sentence = wording.LowerFirst(sentence)
	}
	return first + ": " + sentence
}

const datedByCode = "dated by date code"

// byDateCode returns what the date codes contribute to a change, for the detailed text;
// "" for nothing.
func byDateCode(e drift.Entry) string {
	switch t := e.Statement; {
	case e.DatedByCode():
		return datedByCode
	case !t.MadeBetween():
		return ""
	case wording.Month(t.MadeAfter) == wording.Month(t.MadeBefore):
		return "by date code made differently from " + wording.Month(t.MadeBefore) + " on"
	default:
		return "by date code the last of the old made in " + wording.Month(t.MadeAfter) + ", the first of the new in " + wording.Month(t.MadeBefore)
	}
}
