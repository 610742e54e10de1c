package dataset

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// rewritten reads back the output of WriteNormalised.
func rewritten(t *testing.T, l *Log) (*Log, string) {
	t.Helper()
	var b bytes.Buffer
	if err := WriteNormalised(&b, l); err != nil {
		t.Fatal(err)
	}
	again, err := Read(bytes.NewReader(b.Bytes()), l.File(), Options{})
	if err != nil {
		t.Fatalf("%v\n%s", err, b.String())
	}
	return again, b.String()
}

// TestRoundTrip: every fixture and a few hard cases are read back with the same
// values, and writing them again gives the same bytes.
func TestRoundTrip(t *testing.T) {
	logs := map[string]*Log{
		"small":      mustRead(t, smallLog, Options{}),
		"packs":      mustRead(t, "maker,part,price,pack_quantity\nSkerrow,SK-1,8.99,3\nSkerrow,SK-2,10,7\nSkerrow,SK-3,0.1,3\n", Options{}),
		"currencies": mustRead(t, "maker,part,price,magnet\nSkerrow,SK-1,$8.99,yes\nSkerrow,SK-2,$7,no\nSkerrow,SK-3,£5,perhaps\n", Options{}),
		"tiny claim": mustRead(t, "maker,part,claimed_efficiency\nSkerrow,SK-1,0.5%\nSkerrow,SK-2,99%\n", Options{}),
		"rough":      mustRead(t, "maker,part,total_mass_g,opened\nSkerrow,SK-1,~5.7 oz,2024\nSkerrow,SK-2,162.345,2024-03\nSkerrow,SK-3,1234.567; 1234.5,\n", Options{}),
		"formulas":   mustRead(t, "maker,part,pleats,notes,=cmd\n=Skerrow,+SK-1,51,@x,-y\nSkerrow,SK-2,51,'=kept,z\n＝Lowmere,L 1,52,＠x,-5\n", Options{}),
		"odd names":  mustRead(t, "maker,part,pleats,grammage,row,notes\nSkerrow,SK-1,51,200,1,\"a, \"\"b\"\"\"\nSker\x1b[31mrow,SK-1,51,201,2,\u202egnp\n", Options{}),
	}
	for _, name := range []string{"plain.csv", "month-first.csv", "windows1252.csv", "workbook.xlsx"} {
		l, err := ReadFile(filepath.Join(fixtures, name), Options{})
		if err != nil {
			t.Fatal(err)
		}
		logs[name] = l
	}
	for name, l := range logs {
		t.Run(name, func(t *testing.T) {
			again, text := rewritten(t, l)
			sameValues(t, again, l)
			for _, c := range l.columns {
				if g, w := len(again.byName[c.Name].Approx), len(c.Approx); g != w {
					t.Errorf("%s: %d rough cells, want %d", c.Name, g, w)
				}
			}
			if _, twice := rewritten(t, again); twice != text {
				t.Errorf("written once:\n%s\ntwice:\n%s", text, twice)
			}
			for _, line := range strings.Split(text, "\n") {
				for _, cell := range strings.Split(line, ",") {
					if cell = strings.TrimPrefix(cell, `"`); cell != "" && strings.ContainsAny(string([]rune(cell)[:1]), "=+@\t＝＋－＠") {
						t.Errorf("a spreadsheet would run %q", cell)
					}
				}
			}
			if strings.ContainsAny(text, "\x1b\u202e") {
				t.Error("control characters are written")
			}
		})
	}
}

type full struct{}

var errFull = errors.New("no space left")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestWriteErrors(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(fixtures, "plain.csv"))
	if err != nil {
		t.Fatal(err)
	}
	l := mustRead(t, string(data), Options{})
	if err := WriteNormalised(full{}, l); !errors.Is(err, errFull) {
		t.Errorf("%v", err)
	}
	if err := WriteBlank(full{}); !errors.Is(err, errFull) {
		t.Errorf("%v", err)
	}
}
