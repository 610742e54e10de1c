package spelling

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// slowDistance counts edits by the plain recursive definition, trying every
// alternative.
func slowDistance(a, b []rune) int {
	if len(a) == 0 || len(b) == 0 {
		return len(a) + len(b)
	}
	cost := 1
	if a[0] == b[0] {
		cost = 0
	}
	d := min(slowDistance(a[1:], b)+1, slowDistance(a, b[1:])+1, slowDistance(a[1:], b[1:])+cost)
	if len(a) > 1 && len(b) > 1 && a[0] == b[1] && a[1] == b[0] {
		d = min(d, slowDistance(a[2:], b[2:])+1)
	}
	return d
}

func TestEditDistance(t *testing.T) {
	words := []string{"", "a", "ab", "ba", "abc", "acb", "bca", "abcd", "badc", "skerrow"[:5], "skrew", "ä", "äb"}
	for _, a := range words {
		for _, b := range words {
			want := slowDistance([]rune(a), []rune(b))
			for limit := range 6 {
				if got := Distance(a, b, limit); got != min(want, limit+1) {
					t.Errorf("%q to %q within %d: %d, want %d", a, b, limit, got, want)
				}
			}
		}
	}
}

// TestSlipsAgainstAllPairs compares the hash-based search with a comparison of
// every pair, on invented names with few different letters.
func TestSlipsAgainstAllPairs(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 400 {
		keys, total, folded := []string{}, map[string]int{}, map[string][]uint32{}
		for i := range 30 {
			b := make([]byte, 4+r.IntN(3))
			for j := range b {
				b[j] = byte('a' + r.IntN(3))
			}
			if key := string(b); total[key] == 0 {
				keys = append(keys, key)
				total[key] = 1 + r.IntN(40)
				folded[key] = []uint32{uint32(i)}
			}
		}
		parts := map[uint32][]partOf{}
		for i := range 30 {
			number := fmt.Sprint(r.IntN(10))
			parts[uint32(i)] = []partOf{{number, number}}
		}
		want := map[string]string{}
		for i, a := range keys {
			best := ""
			for j, b := range keys {
				commoner := total[b] > total[a] || total[b] == total[a] && j < i
				if i != j && commoner && len(a) >= minSlipLength && len(b) >= minSlipLength && slowDistance([]rune(a), []rune(b)) == 1 && total[b] > total[best] {
					best = b
				}
			}
			if best != "" && (parts[folded[a][0]][0] == parts[folded[best][0]][0] || total[best] >= slipRatio*total[a]) {
				want[a] = best
			}
		}
		for a, b := range want {
			if _, chained := want[b]; chained {
				want[a] = ""
			}
		}
		got := slips(keys, total, folded, parts)
		for a, b := range want {
			if s, ok := got[a]; ok != (b != "") || ok && total[s.of] != total[b] {
				t.Fatalf("%s is taken for %+v, want %q", a, s, b)
			}
		}
		for a := range got {
			if want[a] == "" {
				t.Fatalf("%s is taken for %s, want none", a, got[a].of)
			}
		}
	}
}
