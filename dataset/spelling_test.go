package dataset

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

const misspelt = `maker,part,pleats
Skerrow,SK-10,51
Skerrow,SK-10,51
Skerow,SK-10,51
SKERROW,SK 10,51
Thornquay,TQ-7,60
Thornquay,TQ7,60
Thornquay,TQ-8,60
Thornquay,tq-7,61
Thornquay,TQ-1O,61
Thornquay,TQ-10,61
Lowmere,L-1,50
Lowmore,M-1,50
Veldmarsh,1-11,44
Veldmarsh,11-1,44
Pellbrook,1-11,70
Pellbrook,1–11,70
`

func TestSpellings(t *testing.T) {
	l := mustRead(t, misspelt, Options{})
	var got []string
	for _, s := range Spellings(l) {
		for _, v := range s.Variants {
			got = append(got, fmt.Sprintf("%s %s%s = %s %v %v", s.Column, strings.TrimSpace(s.Maker+" "), v.Text, s.Common, v.Lines, v.Sure))
		}
	}
	want := []string{
		"maker SKERROW = Skerrow [5] true",
		"maker Skerow = Skerrow [4] true",
		"part SkerrowSK 10 = SK-10 [5] true",
		"part ThornquayTQ7 = TQ-7 [7] true",
		"part Thornquaytq-7 = TQ-7 [9] true",
		"part ThornquayTQ-1O = TQ-10 [10] true",
		"part Pellbrook1–11 = 1-11 [17] true",
	}
	if !slices.Equal(got, want) {
		t.Errorf("found\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if l.Products() != 15 {
		t.Errorf("%d products unmerged", l.Products())
	}
	merged := mustRead(t, misspelt, Options{MergeSpellings: true})
	if merged.Products() != 9 {
		t.Errorf("%d products merged", merged.Products())
	}
	if again := Spellings(merged); len(again) != 0 {
		t.Errorf("left after merging: %+v", again)
	}
	if n := len(messages(merged, "read as")); n != len(want) {
		t.Errorf("%d merges are told, want %d: %+v", n, len(want), merged.Problems())
	}
	if m := merged.Strings("maker"); m[2] != "Skerrow" || m[3] != "Skerrow" {
		t.Errorf("makers %v", m)
	}
}

// TestRareSlip: a name far rarer than its neighbour is told, and not merged,
// where nothing but likeness speaks for it.
func TestRareSlip(t *testing.T) {
	text := "maker,part,pleats\n" + strings.Repeat("Brackhollow,B-1,60\n", 12) + "Brackholow,B-9,60\n"
	l := mustRead(t, text, Options{MergeSpellings: true})
	s := Spellings(l)
	if len(s) != 1 || len(s[0].Variants) != 1 || s[0].Variants[0].Sure || s[0].Variants[0].Text != "Brackholow" || s[0].Openings != 12 {
		t.Errorf("%+v", s)
	}
	if l.Products() != 2 {
		t.Errorf("%d products", l.Products())
	}
}

// slowDistance counts edits by trying every way: the plain recursive
// definition.
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
				if got := editDistance(a, b, limit); got != min(want, limit+1) {
					t.Errorf("%q to %q within %d: %d, want %d", a, b, limit, got, want)
				}
			}
		}
	}
}

// TestSlipsAgainstAllPairs compares the search through shortened names with the
// comparison of every pair, on invented names of few letters.
func TestSlipsAgainstAllPairs(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 40 {
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
		parts := map[uint32][]string{}
		for i := range 30 {
			parts[uint32(i)] = []string{fmt.Sprint(r.IntN(10))}
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

// Two spellings of a maker are two makers until they are joined, and it is said.
func TestMakersSpeltTwiceAreNamed(t *testing.T) {
	text := "maker,part,price\nOrrinvale,A1,5\nOrrinvale,A2,5\nOrrinvale,A3,5\nOrrinvael,A1,5\nLowmere,L1,6\n"
	log, err := Read(strings.NewReader(text), "log.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	said := SpeltTwice(log)
	if len(said) != 1 || !strings.Contains(said[0], "Orrinvael may be Orrinvale") || !strings.Contains(said[0], "--merge-spellings") {
		t.Errorf("said %q", said)
	}
	if log, err = Read(strings.NewReader(text), "log.csv", Options{MergeSpellings: true}); err != nil || len(SpeltTwice(log)) != 0 {
		t.Errorf("joined: %q, %v", SpeltTwice(log), err)
	}
}
