package spelling

import (
	"slices"
	"unicode"

	"pleatstat/dataset/internal/cells"
)

const (
	minSlipLength = 5  // least length of a name that may be a slip of another
	slipRatio     = 10 // least ratio of frequencies for a slip without other evidence
)

// slip is a name that differs in one letter from a more frequent one.
type slip struct {
	of, why string
	sure    bool
}

// slips finds the names that differ in one letter from a more frequent name.
func slips(keys []string, total map[string]int, folded map[string][]uint32, parts map[uint32][]partOf) map[string]slip {
	ranked := slices.Clone(keys)
	slices.SortStableFunc(ranked, func(a, b string) int { return total[b] - total[a] })
	best := commonerNeighbours(ranked)
	have := map[int32]map[string]string{} // part numbers of the more frequent makers
	out := map[string]slip{}
	for i, of := range best {
		if of < 0 {
			continue
		}
		key, common := ranked[i], ranked[of]
		if have[of] == nil {
			have[of] = partSet(parts, folded[common])
		}
		if shared := sharedPart(have[of], parts, folded[key]); shared != "" {
			out[key] = slip{common, "one letter apart, and both have a part " + shared, true}
		} else if total[common] >= slipRatio*total[key] {
			out[key] = slip{common, "one letter apart, and far rarer", false}
		}
	}
	direct := map[string]slip{}
	for key, s := range out {
		if _, chained := out[s.of]; !chained { // drop a slip of a slip
			direct[key] = s
		}
	}
	return direct
}

// commonerNeighbours takes names ranked by falling frequency. For each it
// returns the index of the first name before it that differs in one letter, -1
// if there is none.
//
// Two names are candidates if they have the same polynomial hash after one
// letter is masked, left out or swapped with the next (the rolling hash of Karp
// and Rabin 1987). Each such hash takes constant time, so time grows with the
// total number of letters and memory with the number of names, whatever the
// names are.
func commonerNeighbours(ranked []string) []int32 {
	best := make([]int32, len(ranked))
	names := make([][]rune, len(ranked))
	whole := map[uint64]int32{} // hash to 1 + index of the most frequent name with it
	byLength := map[int][]int32{}
	var lengths []int
	longest := 0
	for i, key := range ranked {
		best[i] = -1
		r := []rune(key)
		if len(r) < minSlipLength {
			continue
		}
		names[i] = r
		if h := hashOf(r); whole[h] == 0 {
			whole[h] = int32(i) + 1
		}
		if byLength[len(r)] == nil {
			lengths = append(lengths, len(r))
		}
		byLength[len(r)] = append(byLength[len(r)], int32(i))
		longest = max(longest, len(r))
	}
	power := make([]uint64, longest+1)
	power[0] = 1
	for i := range longest {
		power[i+1] = power[i] * hashBase
	}
	try := func(i, j int32) { // test two candidates
		if i < j {
			i, j = j, i
		}
		if i != j && (best[i] < 0 || j < best[i]) && oneLetterApart(names[i], names[j]) {
			best[i] = j
		}
	}
	first := map[uint64]int32{}
	for _, n := range lengths {
		group := byLength[n]
		if len(group) > 1 {
			hashes := make([]uint64, len(group))
			for k, i := range group {
				hashes[k] = hashOf(names[i])
			}
			for at := range n { // names that are equal except for this letter
				clear(first)
				for k, i := range group { // by falling frequency, so that first holds the most frequent
					if !unicode.IsLetter(names[i][at]) {
						continue
					}
					masked := hashes[k] - uint64(names[i][at])*power[n-1-at]
					if j, ok := first[masked]; ok {
						try(i, j)
					} else {
						first[masked] = i
					}
				}
			}
		}
		_, shorter := byLength[n-1]
		for _, i := range group {
			r := names[i]
			left, swapped := hashOf(r[1:]), hashOf(r)
			for at := range r {
				if j := whole[left]; shorter && j > 0 {
					try(i, j-1)
				}
				if at == n-1 {
					break
				}
				a, b := uint64(r[at]), uint64(r[at+1])
				left += (a - b) * power[n-2-at]
				if len(group) > 1 {
					if j := whole[swapped+(b-a)*power[n-1-at]+(a-b)*power[n-2-at]]; j > 0 {
						try(i, j-1)
					}
				}
			}
		}
	}
	return best
}

// hashBase is an odd number with bits throughout, so that its powers differ.
const hashBase = 0x9E3779B97F4A7C15

func hashOf(r []rune) uint64 {
	var h uint64
	for _, c := range r {
		h = h*hashBase + uint64(c)
	}
	return h
}

// oneLetterApart reports whether leaving out, inserting or replacing one
// letter, or swapping it with the next, turns one name into the other. Digits
// and signs do not count as letters: a change in them makes a different name.
func oneLetterApart(a, b []rune) bool {
	for len(a) > 0 && len(b) > 0 && a[0] == b[0] {
		a, b = a[1:], b[1:]
	}
	for len(a) > 0 && len(b) > 0 && a[len(a)-1] == b[len(b)-1] {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	for _, r := range slices.Concat(a, b)[:min(len(a)+len(b), 4)] {
		if !unicode.IsLetter(r) {
			return false
		}
	}
	switch {
	case len(a)+len(b) == 1, len(a) == 1 && len(b) == 1:
		return true
	}
	return len(a) == 2 && len(b) == 2 && a[0] == b[1] && a[1] == b[0]
}

// partOf is a part number, folded and as written.
type partOf struct{ folded, written string }

// partsOf returns the part numbers of each code of the maker column, in order
// of appearance.
func partsOf(maker, part *cells.Column) map[uint32][]partOf {
	known := make([]partOf, len(part.Words.List))
	for code, word := range part.Words.List {
		known[code] = partOf{Fold(word), word}
	}
	seen := map[[2]uint32]bool{}
	out := map[uint32][]partOf{}
	for row, m := range maker.Codes {
		pair := [2]uint32{m, part.Codes[row]}
		if pair[1] != 0 && !seen[pair] {
			seen[pair] = true
			out[m] = append(out[m], known[pair[1]])
		}
	}
	return out
}

// partSet returns the part numbers of all spellings of a maker, from folded to
// written form.
func partSet(parts map[uint32][]partOf, makers []uint32) map[string]string {
	have := map[string]string{}
	for _, m := range makers {
		for _, p := range parts[m] {
			have[p.folded] = p.written
		}
	}
	return have
}

// sharedPart returns a part number of the makers that is also in have, as
// written there; "" if there is none.
func sharedPart(have map[string]string, parts map[uint32][]partOf, makers []uint32) string {
	for _, m := range makers {
		for _, p := range parts[m] {
			if written, ok := have[p.folded]; ok {
				return written
			}
		}
	}
	return ""
}
