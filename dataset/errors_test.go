package dataset

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// as reports whether the error is of type E.
func as[E error](err error) bool {
	var e E
	return errors.As(err, &e)
}

func TestErrors(t *testing.T) {
	const good = "maker,part,pleats\nSkerrow,SK-10,51\n"
	for _, c := range []struct {
		name, text string
		is         func(error) bool
		says       string
	}{
		{"empty", "", as[*EmptyError], "empty"},
		{"blank", "\n\n  \n", as[*EmptyError], "empty"},
		{"header only", "maker,part,pleats\n", as[*EmptyError], "header (line 1)"},
		{"header only, blank rows", "maker,part,pleats\n,,\n,,\n", as[*EmptyError], "header (line 1)"},
		{"all broken", "maker,part,pleats\nSkerrow,\"SK-10,51\n", as[*EmptyError], "that can be read; line 2: a quotation mark is opened and not closed"},
		{"no maker", "part,pleats,price\nSK-10,51,8\n", as[*MissingColumnError], "no column for maker"},
		{"no part", "maker,pleats,price\nSkerrow,51,8\n", as[*MissingColumnError], "no column for part"},
		{"no measure", "maker,part,notes\nSkerrow,SK-10,x\n", as[*MissingColumnError], "a measure"},
		{"no header", "Skerrow,SK-10,51\nSkerrow,SK-12,52\n", as[*MissingColumnError], "no line looks like a header line"},
		{"two that mean one", "maker,part,pleats,Pleat count\nSkerrow,SK-10,51,51\n", as[*DuplicateColumnError], `columns 3 ("pleats") and 4 ("Pleat count") both mean pleats`},
		{"the same twice", "maker,part,pleats,maker\nSkerrow,SK-10,51,Skerrow\n", as[*DuplicateColumnError], "both mean maker"},
		{"too many columns", "maker,part,pleats" + strings.Repeat(",x", 100_000) + "\nSkerrow,SK-10,51\n", as[*LimitError], "more than 2000 columns"},
		{"line too long", good + strings.Repeat("x", 2<<20) + "\n", as[*LimitError], "line 3 is longer"},
		{"picture", "\x89PNG\r\n\x1a\n", as[*FormatError], "a picture"},
		{"zeros", strings.Repeat("\x00", 5000), as[*FormatError], "not text"},
	} {
		_, err := Read(strings.NewReader(c.text), "log.csv", Options{})
		if err == nil || !c.is(err) || !strings.Contains(err.Error(), c.says) || !strings.HasPrefix(err.Error(), "log.csv: ") {
			t.Errorf("%s: %.300v", c.name, err)
		}
	}
	var e *SystemError
	if _, err := Read(strings.NewReader(good), "log.csv", Options{Units: "furlongs"}); !errors.As(err, &e) {
		t.Errorf("unknown units: %v", err)
	}
}

func TestReadFileErrors(t *testing.T) {
	dir := t.TempDir()
	if _, err := ReadFile(dir, Options{}); !as[*FormatError](err) {
		t.Errorf("a directory: %v", err)
	}
	if _, err := ReadFile(filepath.Join(dir, "none.csv"), Options{}); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("no file: %v", err)
	}
	if os.Getuid() != 0 {
		path := filepath.Join(dir, "closed.csv")
		if err := os.WriteFile(path, []byte("x"), 0); err != nil {
			t.Fatal(err)
		}
		if _, err := ReadFile(path, Options{}); !errors.Is(err, os.ErrPermission) {
			t.Errorf("no permission: %v", err)
		}
	}
	if _, err := ReadFile(filepath.Join(fixtures, "workbook.xlsx"), Options{Sheet: "1999"}); !as[*FormatError](err) || !strings.Contains(err.Error(), "Sheet1") {
		t.Errorf("unknown sheet: %v", err)
	}
}

// TestTruncatedWorkbook: a workbook cut off anywhere gives an error, not a
// panic.
func TestTruncatedWorkbook(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(fixtures, "workbook.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	for n := 4; n < len(data); n += 97 {
		if _, err := Read(strings.NewReader(string(data[:n])), "log.xlsx", Options{}); !as[*FormatError](err) {
			t.Errorf("%d of %d bytes: %v", n, len(data), err)
		}
	}
}

// TestTruncatedLog: a file cut off anywhere is read as far as it goes, or gives
// one of the documented errors.
func TestTruncatedLog(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(fixtures, "month-first.csv"))
	if err != nil {
		t.Fatal(err)
	}
	for n := 0; n < len(data); n += 17 {
		l, err := Read(strings.NewReader(string(data[:n])), "log.csv", Options{})
		switch {
		case err == nil && l.Rows() > 11:
			t.Errorf("%d bytes: %d rows", n, l.Rows())
		case err != nil && !as[*EmptyError](err) && !as[*MissingColumnError](err):
			t.Errorf("%d bytes: %v", n, err)
		}
	}
}

type pipe struct{ text string }

func (p *pipe) Read(b []byte) (int, error) {
	if p.text == "" {
		return 0, io.ErrClosedPipe
	}
	n := copy(b, p.text)
	p.text = p.text[n:]
	return n, nil
}

func TestClosedPipe(t *testing.T) {
	if _, err := Read(&pipe{"maker,part,pleats\nSkerrow,SK-10,51\n"}, "log.csv", Options{}); !errors.Is(err, io.ErrClosedPipe) {
		t.Errorf("%v", err)
	}
}

// TestBadCells: each bad cell is reported with its place, and the rest of the
// row is read.
func TestBadCells(t *testing.T) {
	text := "opened,maker,part,price,can_gauge_mm,pleats,magnet,inlet_hole_diameter_mm\n" +
		"2024-02-30,Skerrow,SK-10,8.99,0.47,51,no,5\n" + // no such day
		"2024-02-01,Skerrow,SK-10,8.99 parsnips,0.47,51,no,5\n" + // no currency
		"2024-02-01,Skerrow,SK-10,8.99,0.4T,51,no,5\n" + // no unit
		"2024-02-01,Skerrow,SK-10,8.99,0.47 g,51,no,5\n" + // wrong unit
		"2024-02-01,Skerrow,SK-10,8.99,0.47,5l,no,5\n" + // letter for digit
		"2024-02-01,Skerrow,SK-10,8.99,0.47,51 kg,no,5\n" + // unit after a count
		"2024-02-01,Skerrow,SK-10,8.99,0.47 mm; 0.48,51,no,8-Mar\n" + // a unit after one reading only; 3/8 converted to a date
		"2024-02-01,Skerrow,SK-10,8.99,#REF!,51,no,5\n" +
		"2024-02-01,Skerrow,SK-10,8.99,0.47,51,no,5,6\n" + // one cell too many
		"2024-02-01,Sker\"row,SK-10,8.99,0.47,51,no\n" + // one cell missing
		",,,8.99,,,,\n" +
		"2024-02-01,Skerrow,\"SK-10,8.99,0.47,51,no,5\n" + // unclosed quotation mark
		"2024-02-01,Skerrow,SK-10,8.99,0.47,51,no,5\n"
	l := mustRead(t, text, Options{})
	want := []string{
		"2:1 opened", "3:4 price", "4:5 can_gauge", "5:5 can_gauge", "6:6 pleats", "7:6 pleats", "8:5 can_gauge", "8:8 inlet_hole_diameter",
		"9:5 can_gauge", "10:9 ", "11:0 ", "12:0 ", "13:0 ",
	}
	var got []string
	for _, p := range l.Problems() {
		if p.Line > 1 {
			got = append(got, fmt.Sprintf("%d:%d %s", p.Line, p.Column, p.Name))
		}
		if p.File != "log.csv" || p.Message == "" {
			t.Errorf("%+v", p)
		}
	}
	if strings.Join(got, ", ") != strings.Join(want, ", ") {
		t.Errorf("problems at\n%s, want\n%s", strings.Join(got, ", "), strings.Join(want, ", "))
	}
	if l.Rows() != 10 {
		t.Errorf("%d rows", l.Rows())
	}
	gauges := l.Floats("can_gauge")
	for _, row := range []int{0, 1, 4, 5, 8, 9} {
		if gauges[row] != 0.47 {
			t.Errorf("gauge of row %d: %v", row, gauges[row])
		}
	}
}

// TestSameMistakeEverywhere: a fault on each of many lines is listed a thousand
// times and then counted.
func TestSameMistakeEverywhere(t *testing.T) {
	l := mustRead(t, "maker,part,pleats,price\n"+strings.Repeat("Skerrow,SK-10,5l,\n", 3000)+strings.Repeat("Skerrow,,51,x\n", 1500), Options{})
	if n := len(messages(l, "perhaps 51")); n != 1001 {
		t.Errorf("%d problems are listed", n)
	}
	ps := l.Problems()
	for _, says := range []string{"2000 more like this: is not a number", "500 more like this: blank", "500 more like this: is not a number"} {
		if len(messages(l, says)) != 1 {
			t.Errorf("no problem says %q: %+v", says, ps[:5])
		}
	}
}

// TestZeroBytes: a NUL makes a number unreadable and is dropped from a text.
func TestZeroBytes(t *testing.T) {
	l := mustRead(t, "maker,part,pleats,can_gauge_mm\nSker\x00row,SK-10,51,0.4\x007\nSkerrow,SK-10,51,0.47\n", Options{})
	if m := l.Strings("maker"); m[0] != "Skerrow" || l.Floats("pleats")[0] != 51 || l.Floats("can_gauge")[1] != 0.47 {
		t.Errorf("makers %q", m)
	}
	if ps := l.Problems(); len(ps) != 2 || ps[0].Severity != Doubtful || ps[1].Severity != Unusable {
		t.Errorf("%+v", ps)
	}
}
