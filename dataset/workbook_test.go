package dataset

import (
	"bytes"
	"testing"

	"github.com/xuri/excelize/v2"
)

// book makes a workbook of one sheet from rows of values.
func book(t *testing.T, rows [][]any, change func(*excelize.File)) *Log {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	for i, row := range rows {
		at, err := excelize.CoordinatesToCellName(1, i+1)
		if err == nil {
			err = f.SetSheetRow("Sheet1", at, &row)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if change != nil {
		change(f)
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	l, err := Read(&b, "log.xlsx", Options{})
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// TestWorkbookFrom1904: serial dates in such workbooks are smaller by 1462
// days.
func TestWorkbookFrom1904(t *testing.T) {
	rows := [][]any{{"opened", "maker", "part", "pleats"}, {43897, "Skerrow", "SK-10", 51}}
	l := book(t, rows, func(f *excelize.File) {
		yes := true
		if err := f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &yes}); err != nil {
			t.Fatal(err)
		}
	})
	if got := FormatOpened(l.Floats("opened")[0], "day"); got != "2024-03-08" {
		t.Errorf("counted from 1904, 43897 is %s", got)
	}
}

// TestWorkbookPlaces: problems and cells of a workbook are reported at its own
// rows and columns, even below blank rows and cells with line breaks.
func TestWorkbookPlaces(t *testing.T) {
	l := book(t, [][]any{
		{"Harbour workshop"}, {}, {"maker", "part", "notes", "pleats", "can_gauge_mm"},
		{"Skerrow", "SK-10", "two\nlines", 51, 0.1 + 0.2}, {}, {}, {"Skerrow", "SK-12", "", "5l", "0.46; 0.47"},
	}, nil)
	ps := l.Problems()
	if len(ps) != 1 || ps[0].Line != 7 || ps[0].Column != 4 || ps[0].Text != "5l" {
		t.Errorf("%+v", ps)
	}
	if c, ok := l.Cell(1, "can_gauge"); !ok || c.Line != 7 || c.Column != 5 || len(c.Readings) != 2 {
		t.Errorf("%+v, %v", c, ok)
	}
	if got := l.Floats("can_gauge")[0]; got != 0.3 {
		t.Errorf("0.1 + 0.2, which a sheet keeps as 0.30000000000000004, is %v", got)
	}
	if l.Line(0) != 4 || l.Line(1) != 7 || l.Line(99) != 0 {
		t.Errorf("lines %d, %d", l.Line(0), l.Line(1))
	}
}

func TestSeparatorLine(t *testing.T) {
	l := mustRead(t, "sep=;\nmaker;part;can_gauge_mm\nSkerrow;SK-10;0,47\n", Options{})
	if l.Rows() != 1 || l.Floats("can_gauge")[0] != 0.47 {
		t.Errorf("%d rows, %v", l.Rows(), l.Floats("can_gauge"))
	}
}
