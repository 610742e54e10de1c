package catalogue

import (
	"slices"
	"strings"
	"sync"
	"unicode"
)

// forNone lists the words that mean "none" in every column with that category.
const forNone = "none, no, n, without, 0, no valve, absent, not fitted, ✗, ✘"

// forYes lists words that say something is present without saying of which
// kind.
const forYes = "yes, y, x, ✓, ✔, ☑, true, 1"

// neutralWords lists words that say nothing about a category.
const neutralWords = "black orange red blue white grey gray brown green yellow dark light soft hard thin thick valve flap media material type the a is of"

// CategoryWords returns the other words a log may use for a category of a
// column. Several words of one category together, with colours and other words
// of neutralWords among them, mean that category too: "orange silicone".
func CategoryWords(column, category string) []string {
	c := Facts(column)
	words := listed(c.OtherWords[category])
	if category == "none" {
		words = listed(forNone)
	}
	return slices.DeleteFunc(words, func(w string) bool { return w == category })
}

func listed(words string) []string {
	if words == "" {
		return nil
	}
	return strings.Split(words, ", ")
}

// categoryIndex maps a column and the key of a word to a category. It is built
// when the first category is read.
var categoryIndex = sync.OnceValue(func() map[string]map[string]string {
	index := map[string]map[string]string{}
	for _, c := range recorded {
		if c.Kind != KindCategory {
			continue
		}
		of := map[string]string{}
		for _, name := range c.Categories {
			for _, word := range CategoryWords(c.Name, name) {
				of[CategoryKey(word)] = name
			}
		}
		for _, name := range c.Categories { // a category's own name overrides a synonym of another
			of[CategoryKey(name)] = name
		}
		index[c.Name] = of
	}
	return index
})

// Category returns the category of a column that a text means: looked up as a
// whole, else without the words of neutralWords, else by its words if all mean one
// category. Otherwise it returns false and the text itself, or "yes" for a word
// of forYes.
func Category(c Column, text string) (string, bool) {
	of := categoryIndex()[c.Name]
	key := CategoryKey(text)
	if name, ok := of[key]; ok {
		return name, true
	}
	words := slices.DeleteFunc(strings.Fields(key), func(w string) bool { return slices.Contains(strings.Fields(neutralWords), w) })
	if name, ok := of[strings.Join(words, " ")]; ok {
		return name, true
	}
	found := ""
	for _, w := range words {
		name, ok := of[w]
		if !ok || found != "" && name != found {
			found = ""
			break
		}
		found = name
	}
	switch {
	case found != "":
		return found, true
	case slices.Contains(listed(forYes), key):
		return "yes", false // present, but of an unknown kind
	}
	return text, false
}

// CategoryKey returns the form in which words for categories are compared:
// lower case, without punctuation.
func CategoryKey(s string) string {
	s = strings.ToLower(s)
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool {
		return unicode.IsSpace(r) || strings.ContainsRune("-_.,()[]'\"", r)
	}), " ")
}
