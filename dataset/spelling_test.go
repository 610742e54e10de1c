package dataset

import (
	"fmt"
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

// TestRareSlip: a name far rarer than its neighbour is reported, but not merged
// without further evidence.
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

// TestOtherSigns: a character other than a space or dash makes a different
// maker or part, and the reason given for a variant is the true one.
func TestOtherSigns(t *testing.T) {
	var b strings.Builder
	b.WriteString("maker,part,pleats\n")
	for _, c := range [][2]string{{"Orrinvale", "Orrinvale+"}, {"Lowmere", "Lowmere/"}, {"Wexcombe 1", "Wexcombe 2"}, {"Pellbrook", "Pellbrook & Co"}, {"Skerrow", "Skérròw"}} {
		b.WriteString(strings.Repeat(c[0]+",10/5,50\n", 20) + c[1] + ",10/5,50\n" + c[0] + ",105,50\n" + c[0] + ",1-0+5,50\n")
	}
	l := mustRead(t, b.String(), Options{MergeSpellings: true})
	if s := Spellings(l); len(s) > 0 {
		t.Errorf("taken for one: %+v", s)
	}
	if got := messages(l, "read as"); len(got) > 0 {
		t.Errorf("merged: %v", got)
	}
	for _, c := range []struct{ other, common, why string }{
		{"SKERROW", "Skerrow", "differs in case"},
		{"Sker row", "Skerrow", "differs in blanks"},
		{"Sker-Row", "Skerrow", "differs in case and dashes"},
		{"Skerro\u0301w", "Skerr\u00f3w", "the same letters, stored in another way"},
		{"Sk\u00e9rrow", "Skerrow", "one letter apart, and both have a part S-K 1"},
	} {
		l := mustRead(t, "maker,part,pleats\n"+strings.Repeat(c.common+",S-K 1,50\n", 3)+c.other+",S-K 1,50\n", Options{})
		if s := Spellings(l); len(s) != 1 || s[0].Variants[0].Why != c.why || !s[0].Variants[0].Sure {
			t.Errorf("%q: %+v, want %q", c.other, s, c.why)
		}
	}
}

// hostileNames returns logs whose maker or part cells once took minutes, or all
// memory, to compare. BenchmarkHostileNames measures the time.
func hostileNames() map[string]string {
	similar := func(column int) string {
		var b strings.Builder
		b.WriteString("maker,part,pleats\n")
		for i := range 3000 {
			name := []byte(strings.Repeat("a", 200))
			for k := i; k > 0; k /= 20 {
				name[(k*37+i)%200] = byte('a' + k%20)
			}
			cells := []string{"Skerrow", "SK-1"}
			cells[column] = string(name)
			fmt.Fprintf(&b, "%s,50\n", strings.Join(cells, ","))
		}
		return b.String()
	}
	long := func(n int) string { return strings.Repeat("abcdefghij", n/10) }
	return map[string]string{
		"one maker of 20,000 letters":         "maker,part,pleats\n" + long(20_000) + ",SK-1,50\n",
		"two makers of 60,000 letters":        "maker,part,pleats\n" + long(60_000) + ",SK-1,50\n" + long(60_000) + "x,SK-1,50\n",
		"makers of one letter, 60,000 times":  "maker,part,pleats\n" + strings.Repeat("l", 60_000) + ",SK-1,50\n" + strings.Repeat("l", 59_999) + ",SK-1,50\n",
		"two parts of 60,000 letters":         "maker,part,pleats\nSkerrow," + strings.Repeat("1o", 30_000) + ",50\nSkerrow," + strings.Repeat("1O", 30_000) + ",50\n",
		"3,000 makers of 200 similar letters": similar(0),
		"3,000 parts of 200 similar letters":  similar(1),
	}
}

// TestHostileNames fails by timing out if the time to compare names grows with
// the square of their letters.
func TestHostileNames(t *testing.T) {
	for name, text := range hostileNames() {
		for _, merge := range []bool{false, true} {
			l := mustRead(t, text, Options{MergeSpellings: merge})
			if l.Rows() != strings.Count(text, "\n")-1 {
				t.Errorf("%s: %d rows", name, l.Rows())
			}
			Spellings(l)
		}
	}
}

func BenchmarkHostileNames(b *testing.B) {
	for name, text := range hostileNames() {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				l, err := Read(strings.NewReader(text), "log.csv", Options{MergeSpellings: true})
				if err != nil {
					b.Fatal(err)
				}
				Spellings(l)
			}
		})
	}
}

// Two spellings of a maker count as two makers until they are joined, and this
// is reported.
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
