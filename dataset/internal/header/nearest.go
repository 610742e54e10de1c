package header

import (
	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/spelling"
)

// Nearest returns the recorded column of which a header is a misspelt name or
// synonym, "" if there is none.
func Nearest(header string) string {
	words := tokens(header)
	for n := len(words); n > 0 && n > len(words)-2; n-- { // with and without its last word, which may be a unit
		key := headerKey(words[:n])
		limit := 1
		if len(key) > 8 {
			limit = 2
		}
		if len(key) < 4 {
			continue
		}
		if len(key) == 4 && n < len(words) {
			continue // a four-letter word followed by another is too weak a match
		}
		best := ""
		for c := range catalogue.Recorded() { // in canonical order, so that the result is reproducible
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
