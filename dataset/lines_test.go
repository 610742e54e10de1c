package dataset

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
)

// TestMixedLineEnds: a file with CR, LF and CR LF mixed loses no line.
func TestMixedLineEnds(t *testing.T) {
	r := rand.New(rand.NewPCG(10, 19))
	for range 50 {
		ends := []string{"\r", "\n", "\r\n"}
		var b strings.Builder
		b.WriteString("maker,part,pleats" + ends[r.IntN(3)])
		lines := 1 + r.IntN(60)
		for i := range lines {
			if r.IntN(5) == 0 {
				b.WriteString(ends[1+r.IntN(2)]) // a blank line between
			}
			fmt.Fprintf(&b, "Skerrow,SK-%d,%d%s", i, 40+i%30, ends[r.IntN(3)])
		}
		l := mustRead(t, b.String(), Options{})
		if l.Rows() != lines {
			t.Fatalf("%d rows of %d: %q", l.Rows(), lines, b.String())
		}
	}
}

// TestRowsAndLines: each line that is not blank becomes an opening or is
// reported.
func TestRowsAndLines(t *testing.T) {
	for _, c := range []struct {
		name, body string
		rows       int
		says       string
	}{
		{"notes on two lines", "a,b,1,\"x\ny\"\nc,d,2,z\n", 2, ""},
		{"a mark that swallows lines", "a,b,1,\"x\nc,d,2,y\ne,f,3,\"\ng,h,4,z\n", 2, "2 lines that look like openings"},
		{"a mark that is never closed", "a,b,1,\"x\nc,d,2,y\n", 1, "opened and not closed"},
		{"characters of another encoding", "ä,b,1,ö\nc,d\xff,2,ü\n", 2, "characters lost, since they are none in UTF-8: 1"},
	} {
		l := mustRead(t, "maker,part,pleats,notes\n"+c.body, Options{})
		found := false
		for _, p := range l.Problems() {
			found = found || strings.Contains(p.Message, c.says) && p.Severity != Note
		}
		if l.Rows() != c.rows || found != (c.says != "") && c.says != "" || c.says == "" && len(l.Problems()) > 0 {
			t.Errorf("%s: %d rows, %+v", c.name, l.Rows(), l.Problems())
		}
	}
}

// A character that another program could not save (U+FFFD) is reported at its
// place, in a name as in a number.
func TestReplacedCharactersAreTold(t *testing.T) {
	l, err := Read(strings.NewReader("maker,part,pleats\nSker\ufffdow,S1,60\nSkerrow,S2,6\ufffd1\n"), "log.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	var told []string
	for _, p := range l.Problems() {
		told = append(told, p.Name)
	}
	if strings.Join(told, " ") != "maker pleats" {
		t.Errorf("told of %v", told)
	}
}
