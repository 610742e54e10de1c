package spelling

// Distance returns the number of single-letter edits between two texts: letters
// left out, inserted, replaced, or swapped with their neighbour (the restricted
// Damerau–Levenshtein distance). Above limit it stops and returns limit+1.
func Distance(a, b string, limit int) int {
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
