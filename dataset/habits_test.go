package dataset

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// habit is one of the invented sheets of testdata/logs/habits with the correct
// reading.
type habit struct {
	File, Habit string
	Refused     string            // error without choices, "" if the sheet is read at once
	Say         []string          // choices NAME=HEADER that make it readable
	Columns     map[string]string // header to column and unit
	NotUsed     []string          `json:"not_used"`
	Told        []string          // texts of problems
	Values      [][3]any          // row, column, and a value in base units or a word
}

// TestHabits: ten sheets kept in ten different ways are read correctly, either
// at once or with the choices that the error asks for.
func TestHabits(t *testing.T) {
	dir := filepath.Join(fixtures, "habits")
	data, err := os.ReadFile(filepath.Join(dir, "truth.json"))
	if err != nil {
		t.Fatal(err)
	}
	var all []habit
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	if len(all) != 10 {
		t.Errorf("%d sheets, want 10", len(all))
	}
	for _, h := range all {
		t.Run(h.File, func(t *testing.T) { readHabit(t, dir, h) })
	}
}

func readHabit(t *testing.T, dir string, h habit) {
	path := filepath.Join(dir, h.File)
	l, err := ReadFile(path, Options{})
	if h.Refused != "" && (err == nil || !strings.Contains(err.Error(), h.Refused)) {
		t.Errorf("without a choice: %v, want it refused with %q", err, h.Refused)
	}
	if len(h.Say) > 0 {
		var o Options
		for _, s := range h.Say {
			name, header, _ := strings.Cut(s, "=")
			o.Columns = append(o.Columns, Choice{Column: name, Header: header})
		}
		l, err = ReadFile(path, o)
	}
	if err != nil {
		t.Fatal(err)
	}
	read := l.ColumnsRead()
	for _, r := range read.Read {
		if want := h.Columns[r.Header]; strings.TrimSpace(r.Column+" "+r.Unit) != want {
			t.Errorf("%q is read as %s %s, want %q", r.Header, r.Column, r.Unit, want)
		}
	}
	if len(read.Read) != len(h.Columns) {
		t.Errorf("%d columns read, want %d: %+v", len(read.Read), len(h.Columns), read)
	}
	var unused []string
	for _, u := range read.NotUsed {
		unused = append(unused, u.Header)
	}
	if !slices.Equal(unused, h.NotUsed) {
		t.Errorf("not used: %q, want %q", unused, h.NotUsed)
	}
	for _, says := range h.Told {
		if len(messages(l, says)) == 0 {
			t.Errorf("no problem says %q: %+v", says, l.Problems())
		}
	}
	for _, p := range l.Problems() {
		if p.Severity == Unusable {
			t.Errorf("%+v", p)
		}
	}
	if l.Rows() != 14 {
		t.Errorf("%d openings, want 14", l.Rows())
	}
	for _, v := range h.Values {
		row, column := int(v[0].(float64)), v[1].(string)
		switch want := v[2].(type) {
		case string:
			if got := l.Word(row, column); got != want {
				t.Errorf("%s of row %d is %q, want %q", column, row, got, want)
			}
		case float64:
			if got := l.Floats(column)[row]; math.Abs(got-want) > 1e-3*math.Abs(want) {
				t.Errorf("%s of row %d is %g, want %g", column, row, got, want)
			}
		}
	}
}
