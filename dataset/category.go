package dataset

import (
	"slices"
	"strings"
	"sync"
	"unicode"
)

// categoryWords are other words for the categories of a column, by column and
// then by category; common practice, no source. Words of one category, with
// colours and the like between them, mean it too: "orange silicone".
var categoryWords = map[string]map[string]string{
	"magnet": {
		"yes": "y, true, 1, x, ✓, ✔, ☑, with, fitted, present",
		"no":  "n, false, 0, ✗, ✘, without, none, absent",
	},
	"media_type": {
		"cellulose":             "paper, cellulosic, cell, cel, wood pulp, pulp, standard paper, paper media, treated paper, resin paper, cotton",
		"blend":                 "blended, mix, mixed, cellulose blend, cellulose/synthetic, synthetic/cellulose, syn/cell, cell/syn, synthetic blend, syn blend, semi synthetic, semi syn, part synthetic, half synthetic, hybrid",
		"synthetic":             "syn, synth, full synthetic, full syn, fully synthetic, all synthetic, synthetic media, glass, microglass, micro glass, glass fibre, glass fiber, fibreglass, fiberglass, polyester",
		"wire-backed synthetic": "wire backed, wirebacked, wire backed syn, wirebacked synthetic, synthetic wire backed, syn wire backed, wire backed full synthetic, syn/wire, syn w/ wire, synthetic with wire, wire mesh backed, mesh backed synthetic",
	},
	"end_caps": {
		"steel": "metal, tin, tinplate, steel plate, iron", "fibre": "fiber, cardboard, card, paper, felt, pulp, fibreboard, fiberboard",
		"nylon": "plastic, polymer, polyamide",
	},
	"core": {
		"perforated": "perf, holes, punched, perforated steel, perforated metal, round holes", "louvred": "louvered, louver, louvers, louvre, louvres, slotted, slots",
		"nylon": "plastic, nylon cage, plastic cage, cage", "coil": "spiral, coil wound, wound, spring",
	},
	"seam": {"crimped": "crimp, metal clip, clip, clipped, metal, metal crimp, metal strip", "glued": "glue, adhesive, bonded, hot melt"},
	"bypass": {
		"dome": "dome end, top, closed end, dome side, at dome, in dome",
		"base": "base plate, thread end, threaded end, bottom, base end, plate, at base, in base",
	},
	"bypass_spring": {"leaf": "leaf spring, flat, flat spring, sheet", "coil": "coil spring, coiled, wound, helical"},
	"drain_back": {
		"silicone": "silicon, silicone rubber, silicon rubber, sil, si",
		"nitrile":  "rubber, nbr, buna, buna n, nitrile rubber",
	},
}

// forNone are words for nothing there, in every column that has none.
const forNone = "none, no, n, without, 0, no valve, absent, not fitted, ✗, ✘"

// forYes are words that say there is something without saying what.
const forYes = "yes, y, x, ✓, ✔, ☑, true, 1"

// besides are words that say nothing about a category.
const besides = "black orange red blue white grey gray brown green yellow dark light soft hard thin thick valve flap media material type the a is of"

// CategoryWords lists the other words a log may use for a category of a column.
func CategoryWords(column, category string) []string {
	words := listed(categoryWords[column][category])
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
				of[categoryKey(word)] = name
			}
		}
		for _, name := range c.Categories { // before what another category is called
			of[categoryKey(name)] = name
		}
		index[c.Name] = of
	}
	return index
})

// category brings a word to the canonical spelling of its column: by the whole
// text, else by what is left without colours and the like.
func category(c Column, text string) (string, bool) {
	of := categoryIndex()[c.Name]
	key := categoryKey(text)
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

func categoryKey(s string) string {
	s = strings.ToLower(s)
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool {
		return unicode.IsSpace(r) || strings.ContainsRune("-_.,()[]'\"", r)
	}), " ")
}
