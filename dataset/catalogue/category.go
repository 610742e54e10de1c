package catalogue

import (
	"slices"
	"strings"
	"sync"
	"unicode"
)

// forNone are words for nothing there, in every column that has none.
const forNone = "none, no, n, without, 0, no valve, absent, not fitted, ✗, ✘"

// forYes are words that say there is something without saying what.
const forYes = "yes, y, x, ✓, ✔, ☑, true, 1"

// besides are words that say nothing about a category.
const besides = "black orange red blue white grey gray brown green yellow dark light soft hard thin thick valve flap media material type the a is of"

// CategoryWords lists the other words a log may use for a category of a column.
// Words of one category, with colours and the like between them, mean it too:
// "orange silicone".
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

// categoryIndex finds a category by column and key of a word. It is made when
// the first category is read.
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
		for _, name := range c.Categories { // before what another category is called
			of[CategoryKey(name)] = name
		}
		index[c.Name] = of
	}
	return index
})

// Category brings a word to the canonical spelling of its column: by the whole
// text, else by what is left without colours and the like.
func Category(c Column, text string) (string, bool) {
	of := categoryIndex()[c.Name]
	key := CategoryKey(text)
	if name, ok := of[key]; ok {
		return name, true
	}
	words := slices.DeleteFunc(strings.Fields(key), func(w string) bool { return slices.Contains(strings.Fields(besides), w) })
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
		return "yes", false // there, but of which kind?
	}
	return text, false
}

// CategoryKey is the form in which words for categories are compared: in small letters,
// without marks.
func CategoryKey(s string) string {
	s = strings.ToLower(s)
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool {
		return unicode.IsSpace(r) || strings.ContainsRune("-_.,()[]'\"", r)
	}), " ")
}
