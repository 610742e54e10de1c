package correct

import (
	"bytes"
	"errors"
	"os"
	"strings"
	"testing"

	"pleatstat/dataset"
	"pleatstat/stats/check"
	"pleatstat/stats/slip"
)

func fixed(t *testing.T, text string, suggestions []check.Suggestion, kinds ...slip.Kind) (string, []check.Suggestion) {
	t.Helper()
	var out bytes.Buffer
	changed, err := Copy(strings.NewReader(text), &out, suggestions, kinds)
	if err != nil {
		t.Fatal(err)
	}
	return out.String(), changed
}

func TestCopyKeepsEveryOtherByte(t *testing.T) {
	sure := func(line, column int, found, intended string) check.Suggestion {
		return check.Suggestion{Line: line, Column: column, Found: found, Intended: intended, Kind: slip.Decimal, Sure: true}
	}
	for _, c := range []struct {
		name, text, want string
		s                check.Suggestion
	}{
		{"plain", "a,b\n1,4.1\n2,5\n", "a,b\n1,0.41\n2,5\n", sure(2, 2, "4.1", "0.41")},
		{"byte order mark and CRLF", "\xef\xbb\xbfa,b\r\n4.1,x\r\n", "\xef\xbb\xbfa,b\r\n0.41,x\r\n", sure(2, 1, "4.1", "0.41")},
		{"byte order mark, first line", "\xef\xbb\xbf4.1,b\n", "\xef\xbb\xbf0.41,b\n", sure(1, 1, "4.1", "0.41")},
		{"semicolons and decimal comma", "a;b\n1;4,1\n", "a;b\n1;0,41\n", sure(2, 2, "4,1", "0,41")},
		{"quoted", "a,b\n1,\"4.1\" \n", "a,b\n1,\"4.1\" \n", sure(2, 2, "4.1", "0.41")}, // malformed: left alone
		{"quoted well", "a,b\n1,\"4.1\"\n", "a,b\n1,\"0.41\"\n", sure(2, 2, "4.1", "0.41")},
		{"needs quotes", "a,b\n1,4\n", "a,b\n1,\"4,5\"\n", sure(2, 2, "4", "4,5")},
		{"inch sign inside", "a,b\n41 3/8\",4.1\n", "a,b\n41 3/8\",0.41\n", sure(2, 2, "4.1", "0.41")},
		{"below a line break in a cell", "a,b\n\"x\ny\",4.1\n", "a,b\n\"x\ny\",0.41\n", sure(3, 2, "4.1", "0.41")},
		{"below a quotation mark left open", "a,b\n\"x,1\n2,4.1\n", "a,b\n\"x,1\n2,0.41\n", sure(3, 2, "4.1", "0.41")},
		{"lines end in CR", "a,b\r1,4.1\r", "a,b\r1,0.41\r", sure(2, 2, "4.1", "0.41")},
		{"all three line ends", "a,b\r1,2\r\n1,2\n1,4.1\r\n", "a,b\r1,2\r\n1,2\n1,0.41\r\n", sure(4, 2, "4.1", "0.41")},
		{"no line end at the end", "a,b\n1,4.1", "a,b\n1,0.41", sure(2, 2, "4.1", "0.41")},
		{"says something else", "a,b\n1,4.2\n", "a,b\n1,4.2\n", sure(2, 2, "4.1", "0.41")},
		{"not there", "a,b\n1,4.1\n", "a,b\n1,4.1\n", sure(9, 2, "4.1", "0.41")},
		{"one-byte encoding", "a,b\n\xe9,4.1\n", "a,b\n\xe9,0.41\n", sure(2, 2, "4.1", "0.41")},
	} {
		got, changed := fixed(t, c.text, []check.Suggestion{c.s})
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
		if (len(changed) == 1) != (c.text != c.want) {
			t.Errorf("%s: told %v", c.name, changed)
		}
	}
}

func TestKinds(t *testing.T) {
	text := "a,b\n4.1,33.5\n"
	all := []check.Suggestion{
		{Line: 2, Column: 1, Found: "4.1", Intended: "0.41", Kind: slip.Decimal, Sure: true},
		{Line: 2, Column: 2, Found: "33.5", Intended: "33.5 mm", Kind: slip.Unit, Sure: true},
	}
	if got, _ := fixed(t, text, all, slip.Unit); got != "a,b\n4.1,33.5 mm\n" {
		t.Errorf("units only: %q", got)
	}
	if got, _ := fixed(t, text, all); got != "a,b\n0.41,33.5 mm\n" {
		t.Errorf("all: %q", got)
	}
	all[0].Sure = false
	if got, _ := fixed(t, text, all); got != "a,b\n4.1,33.5 mm\n" {
		t.Errorf("only sure ones are carried out: %q", got)
	}
}

func TestRefuses(t *testing.T) {
	for _, text := range []string{"PK\x03\x04", "\xff\xfea\x00,\x00"} {
		var format *FormatError
		if _, err := Copy(strings.NewReader(text), &bytes.Buffer{}, nil, nil); !errors.As(err, &format) {
			t.Errorf("%q: %v", text, err)
		}
	}
}

type failing struct{ left int }

func (w *failing) Write(p []byte) (int, error) {
	if len(p) > w.left {
		return w.left, errors.New("disk full")
	}
	w.left -= len(p)
	return len(p), nil
}

// The corrected demo log has no problems left, and only the corrected lines differ.
func TestDemo(t *testing.T) {
	text, err := os.ReadFile("../../testdata/demo/harbour.csv")
	if err != nil {
		t.Fatal(err)
	}
	run := func(text string) *check.Result {
		log, err := dataset.Read(strings.NewReader(text), "harbour.csv", dataset.Options{})
		if err != nil {
			t.Fatal(err)
		}
		r, err := check.Run(log, check.Options{})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	r := run(string(text))
	got, changed := fixed(t, string(text), r.Suggestions)
	if len(changed) != len(r.Suggestions) {
		t.Errorf("carried out %d of %d", len(changed), len(r.Suggestions))
	}
	was, is := strings.Split(string(text), "\n"), strings.Split(got, "\n")
	for i := range was {
		slip := false
		for _, s := range changed {
			slip = slip || s.Line == i+1
		}
		if (was[i] != is[i]) != slip {
			t.Errorf("line %d: %q became %q", i+1, was[i], is[i])
		}
	}
	again := run(got)
	for _, p := range again.Problems {
		if p.Severity != dataset.Note {
			t.Errorf("still there: %+v", p)
		}
	}
	for room := range 3 {
		if _, err := Copy(bytes.NewReader(text), &failing{left: room * len(text) / 3}, r.Suggestions, nil); err == nil {
			t.Error("a full disk went unnoticed")
		}
	}
}

// FuzzCopy: whatever the text, bytes outside the named cell do not change.
func FuzzCopy(f *testing.F) {
	f.Add("a,b\n1,4.1\n", 2, 2, "4.1", "0.41")
	f.Add("a;b\r\n\"x\ny\";4,1\r\n", 3, 2, "4,1", "0,41")
	f.Add("\xef\xbb\xbf4.1,\"\n", 1, 1, "4.1", "33.5 mm")
	f.Fuzz(func(t *testing.T, text string, line, column int, found, intended string) {
		var out bytes.Buffer
		s := check.Suggestion{Line: line, Column: column, Found: found, Intended: intended, Kind: slip.Unit, Sure: true}
		changed, err := Copy(strings.NewReader(text), &out, []check.Suggestion{s}, nil)
		if err != nil {
			return
		}
		got := out.String()
		if len(changed) == 0 {
			if got != text {
				t.Fatalf("%q became %q", text, got)
			}
			return
		}
		head := 0
		for head < len(text) && head < len(got) && text[head] == got[head] {
			head++
		}
		tail := 0
		for tail < len(text)-head && tail < len(got)-head && text[len(text)-1-tail] == got[len(got)-1-tail] {
			tail++
		}
		if changedBytes := len(text) - head - tail; changedBytes > 2*len(found)+2 {
			t.Fatalf("%d bytes of %q changed into %q", changedBytes, text, got)
		}
	})
}
