package dataset

// editDistance counts the single-letter changes between two texts: letters
// left out, put in, replaced, or two neighbours swapped (the restricted
// Damerau–Levenshtein distance). It stops counting above limit
// and then returns limit+1.
func editDistance(a, b string, limit int) int {
	x, y := []rune(a), []rune(b)
	if d := len(x) - len(y); d > limit || -d > limit {
		return limit + 1
	}
	before := make([]int, len(y)+1)
	last := make([]int, len(y)+1)
	now := make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(x); i++ {
		now[0] = i
		least := i
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			now[j] = min(last[j]+1, now[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				now[j] = min(now[j], before[j-2]+1)
			}
			least = min(least, now[j])
		}
		if least > limit {
			return limit + 1
		}
		before, last, now = last, now, before
	}
	return min(last[len(y)], limit+1)
}

// nearest returns the recorded column whose name or synonym a header is a slip
// of, "" for none.
func nearest(header string) string {
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
		for _, c := range recorded { // in canonical order, so that the answer is the same each time
			for _, name := range append([]string{c.Name}, c.Synonyms...) {
				if d := editDistance(key, headerKey(tokens(name)), limit); d <= limit {
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
