package header

import (
	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/spelling"
)

// Nearest returns the recorded column whose name or synonym a header is a slip
// of, "" for none.
func Nearest(header string) string {
	words := tokens(header)
	for n := len(words); n > 0 && n > len(words)-2; n-- { // with and without a unit behind
		key := headerKey(words[:n])
		limit := 1
		if len(key) > 8 {
			limit = 2
		}
		if len(key) < 4 {
			continue
		}
		if len(key) == 4 && n < len(words) {
			continue // so short a word and another behind it: too little to go by
		}
		best := ""
		for c := range catalogue.Recorded() { // in canonical order, so that the answer is the same each time
			for _, name := range append([]string{c.Name}, c.Synonyms...) {
				if d := spelling.Distance(key, Key(name), limit); d <= limit {
					best, limit = c.Name, d-1
				}
			}
		}
		if best != "" {
			return best
		}
	}
	return ""
}
