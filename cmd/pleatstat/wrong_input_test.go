package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A mistake of the user's gives a message with what would be right, the exit code for
// it, and nothing on standard output.
func TestWrongInputIsNamed(t *testing.T) {
	sound := logFile(t, soundText)
	mine := filepath.Join(t.TempDir(), "mine.txt")
	if err := os.WriteFile(mine, []byte("mine"), 0o666); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		args []string
		code int
		says string
	}{
		{"no such file", []string{"check", "nowhere.csv"}, 1, `there is no file "nowhere.csv"`},
		{"a file as the folder", []string{"report", sound, "--out", mine}, 1, `mine.txt" is a file, not a folder; name another output folder`},
		{"a file as a folder of the output", []string{"check", sound, "--csv", filepath.Join(mine, "x.csv")}, 1, "is a file, not a folder"},
		{"a sheet of a CSV file", []string{"check", sound, "--sheet", "2024"}, 1, `no workbook, so it has no sheet "2024"`},
		{"a flag with nothing", []string{"report", sound, "--out", ""}, 2, "--out is empty; give it a value or leave it out"},
		{"a list with nothing", []string{"report", sound, "--format", ""}, 2, "--format is empty"},
		{"a name with nothing", []string{"price", sound, "--part", ""}, 2, "--part is empty"},
		{"nothing among several", []string{"drift", sound, "--measure", "pleats,,can_gauge"}, 2, "--measure: one of its values is empty"},
		{"a flag without its value", []string{"report", sound, "--out"}, 2, "--out needs a value: --out DIR"},
		{"a negative seed", []string{"report", sound, "--seed", "-1"}, 2, `--seed "-1": want a whole number of 0 or more`},
		{"a year in words", []string{"roundup", sound, "--year", "last"}, 2, `--year "last": want a year of four digits`},
		{"a year with a zero before it", []string{"roundup", sound, "--year", "02026"}, 2, `--year "02026": want a year of four digits, for example 2026`},
		{"a year as programmers write it", []string{"roundup", sound, "--year", "0x7e9"}, 2, `--year "0x7e9": want a year of four digits`},
		{"a year with a sign", []string{"roundup", sound, "--year", "+2025"}, 2, `--year "+2025": want a year of four digits`},
		{"a stream as the folder", []string{"report", sound, "--out", "-"}, 2, "--out -: want a folder"},
		{"a stream as the folder of charts", []string{"drift", sound, "--out", "-"}, 2, "--out -: want a folder"},
		{"the year 0", []string{"roundup", sound, "--year", "0"}, 2, "four digits"},
		{"neither true nor false", []string{"report", sound, "--strict=perhaps"}, 2, `--strict "perhaps": want true or false`},
		{"a column on itself", []string{"trend", sound, "--of", "price", "--on", "price"}, 2, "both price; a line needs two columns"},
		{"a date as the response", []string{"trend", sound, "--of", "opened", "--on", "price"}, 2, "a line can lie on it (--on), not be of it"},
		{"the logarithm of a date", []string{"trend", sound, "--of", "price", "--on", "opened", "--scale", "log"}, 2, "--scale linear"},
		{"a chart of nothing", []string{"price", sound, "--plot", filepath.Join(t.TempDir(), "p.png")}, 1, "no chart was drawn"},
		{"a price below zero", []string{"price", demoLog, "--what-if", "price=-5,media_area=300cm²"}, 1, `price = "-5": zero or less, which no filter has`},
		{"an area of zero", []string{"price", demoLog, "--what-if", "price=5,media_area=0"}, 1, `media_area = "0": zero or less`},
		{"a word that is none", []string{"price", demoLog, "--what-if", "price=5,media_area=60,media_type=felt"}, 1, "not one of cellulose, blend, synthetic, wire-backed synthetic, mesh, other\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := call("", c.args...)
			want(t, r, c.code)
			if !strings.Contains(r.stderr, c.says) {
				t.Errorf("standard error %q does not say %q", r.stderr, c.says)
			}
			if strings.Count(r.stderr, c.says) > 1 {
				t.Errorf("standard error says it twice: %q", r.stderr)
			}
			if r.stdout != "" {
				t.Errorf("standard output has %q", r.stdout)
			}
		})
	}
	if text, err := os.ReadFile(mine); err != nil || string(text) != "mine" {
		t.Errorf("the user's file holds %q, %v", text, err)
	}
}

// Rows to be judged may hold cells that cannot be used: these are reported, and the rest
// is judged.
func TestWhatIfRowsTellWhatDidNotCount(t *testing.T) {
	r := call("maker,part,price,media_area_cm2\nA,b,-5,500\nA,c,cheap,500\nA,d,9,500\nA,e,9,9000\n", "price", demoLog, "--what-if", "-")
	want(t, r, exitDone)
	text := strings.ReplaceAll(strings.Join(strings.Fields(r.stdout), " "), "\u00a0", " ")
	for _, says := range []string{
		`Left out: line 2, price = "-5": zero or less, which no filter has.`,
		`Left out: line 3, price = "cheap": is not a number; write digits, or leave it blank.`,
		"A media area of 1395.0 in² lies beyond all of the log (60.9 in² to 160.8 in²): what is usual there is a guess from the others.",
	} {
		if strings.Count(text, says) != 1 {
			t.Errorf("the verdicts say %q %d times, want once", says, strings.Count(text, says))
		}
	}
}
