package dataset

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// page is one sheet of a workbook made for a test.
type page struct {
	name string
	rows [][]any
}

func bookOf(t *testing.T, pages []page, change func(*excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	for i, p := range pages {
		var err error
		if i == 0 {
			err = f.SetSheetName("Sheet1", p.name)
		} else {
			_, err = f.NewSheet(p.name)
		}
		if err != nil {
			t.Fatal(err)
		}
		for r, row := range p.rows {
			if err := f.SetSheetRow(p.name, fmt.Sprintf("A%d", r+1), &row); err != nil {
				t.Fatal(err)
			}
		}
	}
	if change != nil {
		change(f)
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// yearly returns a workbook with one sheet a year, each in another layout, a
// page of notes and a hidden copy.
func yearly(t *testing.T) []byte {
	return bookOf(t, []page{
		{"Notes", [][]any{{"Harbour workshop"}, {"The scale reads to 0.1 g."}}},
		{"2022", [][]any{{"opened", "maker", "part", "can_gauge_mm", "pleats", "where bought"}, {"2022-03-01", "Skerrow", "SK-10", 0.47, 51, "quay"}, {}, {"2022-04-01", "Lowmere", "L-1", "0.44; 0.46", "5l", ""}}},
		{"2023", [][]any{{"kept by two"}, {"part", "maker", "can gauge (in)", "pleats", "date", "magnet"}, {"SK-10", "Skerrow", 0.02, 52, "2023-03-01", "yes"}, {"L-1", "Lowmere", "0.01; 0.02", "5o", "2023-04-01", "no"}}},
		{"copy", [][]any{{"maker", "part", "pleats"}, {"Wexcombe", "WX-4", 49}}},
	}, func(f *excelize.File) {
		if err := f.SetSheetVisible("copy", false); err != nil {
			t.Fatal(err)
		}
	})
}

// TestYearlySheets: sheets that hold a log are read in order as one log, each
// cell in its column and its own unit; places reported are those in the sheets.
func TestYearlySheets(t *testing.T) {
	data := yearly(t)
	l, err := Read(bytes.NewReader(data), "log.xlsx", Options{})
	if err != nil {
		t.Fatal(err)
	}
	if s := l.sheets; !slices.Equal(s.Read, []string{"2022", "2023"}) || !slices.Equal(s.PassedOver, []string{"Notes"}) || !slices.Equal(s.Hidden, []string{"copy"}) {
		t.Errorf("%+v", s)
	}
	if got := l.Strings("maker"); !slices.Equal(got, []string{"Skerrow", "Lowmere", "Skerrow", "Lowmere"}) {
		t.Errorf("makers %q", got)
	}
	if l.Products() != 2 {
		t.Errorf("%d products", l.Products())
	}
	for row, want := range []float64{0.47, 0.45, 0.508, 0.381} { // 0.02 in is 0.508 mm (NIST SP 811: 1 in = 25.4 mm)
		if got := l.Floats("can_gauge")[row]; !near(got, want, 1e-12) {
			t.Errorf("row %d: gauge %v mm, want %v", row, got, want)
		}
	}
	if got := l.Strings("magnet"); !slices.Equal(got, []string{"", "", "yes", "no"}) {
		t.Errorf("magnets %q", got)
	}
	if got := l.Strings("where bought"); !slices.Equal(got, []string{"quay", "", "", ""}) {
		t.Errorf("where bought %q", got)
	}
	var places []string
	for _, p := range l.Problems() {
		if p.Severity == Unusable {
			places = append(places, fmt.Sprintf("%d %d %s", p.Line, p.Column, p.Text))
		}
	}
	if !slices.Equal(places, []string{"4 5 5l", "1004 4 5o"}) {
		t.Errorf("problems at %q", places)
	}
	if c, ok := l.Cell(3, "can_gauge"); !ok || c.Line != 1004 || c.Column != 3 || len(c.Readings) != 2 {
		t.Errorf("%+v", c)
	}
	if l.Line(2) != 1003 || l.Line(0) != 2 || l.sheets.Lines != 1000 {
		t.Errorf("lines %d, %d; %+v", l.Line(0), l.Line(2), l.sheets)
	}
	want := `Sheets read: "2022" and "2023" (line 1002 is row 2 of "2023", and so on). Passed over, without the header of a log: "Notes". Hidden and not read (--sheet reads them): "copy".`
	if got := l.ColumnsRead().Sheets.String(); got != want {
		t.Errorf("%s", got)
	}
}

// TestChosenSheets: --sheet selects sheets, hidden ones too, and refuses a page
// of notes.
func TestChosenSheets(t *testing.T) {
	data := yearly(t)
	for names, want := range map[string]int{"2023": 2, "copy": 1, "copy,2022": 3, "2022, 2023, copy": 5} {
		l, err := Read(bytes.NewReader(data), "log.xlsx", Options{Sheet: names})
		if err != nil || l.Rows() != want {
			t.Errorf("%q: %v, %+v", names, err, l)
		}
	}
	for _, names := range []string{"Notes", "2022,Notes", "2024"} {
		if _, err := Read(bytes.NewReader(data), "log.xlsx", Options{Sheet: names}); err == nil || !strings.Contains(err.Error(), "Notes, 2022, 2023, copy (hidden)") {
			t.Errorf("%q: %v", names, err)
		}
	}
	if _, err := Read(strings.NewReader("maker,part,pleats\na,b,1\n"), "log.csv", Options{Sheet: "2022"}); !as[*FormatError](err) {
		t.Errorf("a sheet of a CSV file: %v", err)
	}
}

// TestNoLogInWorkbook: the error names the sheets of the workbook.
func TestNoLogInWorkbook(t *testing.T) {
	data := bookOf(t, []page{{"Notes", [][]any{{"nothing"}}}, {"Prices", [][]any{{"maker", "price"}, {"Skerrow", 3}}}, {"Log", [][]any{{"maker", "part", "pleats"}, {"Skerrow", "SK-1", 50}}}},
		func(f *excelize.File) { _ = f.SetSheetVisible("Log", false) })
	_, err := Read(bytes.NewReader(data), "log.xlsx", Options{})
	if !as[*MissingColumnError](err) || !strings.Contains(err.Error(), `sheet "Prices"`) || !strings.Contains(err.Error(), "Log (hidden)") {
		t.Errorf("%v", err)
	}
}

// TestFormulasCostTheirCell: a formula without a stored value is reported; so
// is a column that holds nothing else.
func TestFormulasCostTheirCell(t *testing.T) {
	data := bookOf(t, []page{{"Log", [][]any{{"maker", "part", "pleats", "price"}, {"Skerrow", "SK-1", 50}, {"Skerrow", "SK-2", 51}, {"Skerrow", "SK-3"}}}}, func(f *excelize.File) {
		for _, at := range []string{"D2", "D3", "C4"} {
			if err := f.SetCellFormula("Log", at, "A9*2"); err != nil {
				t.Fatal(err)
			}
		}
	})
	l, err := Read(bytes.NewReader(data), "log.xlsx", Options{})
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, p := range l.Problems() {
		if p.Severity == Unusable && strings.Contains(p.Message, "formula") && p.Text == "=A9*2" {
			found++
		}
	}
	if found != 3 {
		t.Errorf("%+v", l.Problems())
	}
	if n := l.Notices(); len(n) != 1 || !strings.Contains(n[0], "price") || !strings.Contains(n[0], "recalculate") {
		t.Errorf("%q", n)
	}
}
