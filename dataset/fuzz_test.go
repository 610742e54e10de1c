package dataset

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pleatstat/dataset/internal/cells"
)

// FuzzRead: any input gives a log or an error, and a log is consistent and
// survives being written and read again.
func FuzzRead(f *testing.F) {
	for _, make := range variants {
		f.Add(make())
	}
	f.Add([]byte(smallLog))
	f.Add([]byte(misspelt))
	for _, s := range []string{"maker,part,pleats\n\"", "maker;part;price\nA;B;1.234,5 €\n", "\xff\xfem\x00", "maker,part,price,pack_quantity\nA,B,$5;6,0\n", "maker,part,pleats\nA,B,1e300\n", "sep=;\nmaker;part;pleats\nA;B;5\n", "PK\x03\x04"} {
		f.Add([]byte(s))
	}
	if data, err := os.ReadFile(filepath.Join(fixtures, "workbook.xlsx")); err == nil {
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, o := range []Options{{}, {Units: "us", MergeSpellings: true}} {
			l, err := Read(bytes.NewReader(data), "log", o)
			if err != nil {
				if !strings.HasPrefix(err.Error(), "log: ") {
					t.Fatalf("error without the name of the log: %v", err)
				}
				return
			}
			consistent(t, l)
			if o.MergeSpellings {
				continue
			}
			again, text := rewritten(t, l)
			if again.Rows() != l.Rows() {
				t.Fatalf("%d rows became %d:\n%s", l.Rows(), again.Rows(), text)
			}
			for _, name := range l.Names() {
				w, g := l.Floats(name), again.Floats(name)
				for i := range w {
					if i >= len(g) || !near(g[i], w[i], 1e-9) {
						t.Fatalf("%s, row %d: %v became %v:\n%s", name, i, w, g, text)
					}
				}
			}
		}
	})
}

// consistent checks the invariants of a log.
func consistent(t *testing.T, l *Log) {
	t.Helper()
	frame, err := l.Frame()
	if err != nil || frame.Nrow() != l.Rows() || frame.Ncol() != len(l.Names()) || l.Rows() == 0 {
		t.Fatalf("frame of %d×%d (%v), %d rows", frame.Nrow(), frame.Ncol(), err, l.Rows())
	}
	for i, p := range l.Problems() {
		if p.File == "" || p.Message == "" || p.Line < 0 || p.Column < 0 || p.Severity == "" {
			t.Fatalf("%+v", p)
		}
		if before := l.problems[max(i-1, 0)]; before.Line > p.Line {
			t.Fatal("problems out of order")
		}
	}
	for _, name := range l.Names() {
		v := l.Floats(name)
		if v == nil && l.Strings(name) == nil && name != "row" && name != "line" && name != "product" && name != "opened" && name != "opened_precision" {
			t.Fatalf("%s is neither numbers nor text", name)
		}
		for row, x := range v {
			if math.IsInf(x, 0) {
				t.Fatalf("%s, row %d is infinite", name, row)
			}
			l.Units().Format(name, x)
		}
		for row := range min(l.Rows(), 5) {
			c, ok := l.Cell(row, name)
			if ok && (c.Line < l.Line(row) || c.Column < 1) {
				t.Fatalf("%s, row %d: %+v", name, row, c)
			}
			_, derived := l.Header(name)
			if !ok && derived > 0 && v != nil && !l.isDerived(name) && !math.IsNaN(v[row]) {
				t.Fatalf("%s, row %d is %v and has no cell", name, row, v[row])
			}
			if r := c.Readings; ok && len(r) > 0 && !math.IsNaN(c.Value) {
				if mean, _ := cells.Spread(r); !near(mean, c.Value, 1e-9) && math.Abs(mean-c.Value) > 1e-9 {
					t.Fatalf("%s, row %d: the readings %v have not the mean %v", name, row, r, c.Value)
				}
			}
		}
		l.Repeatability(name)
		l.Resolution(name)
	}
	Spellings(l)
}
