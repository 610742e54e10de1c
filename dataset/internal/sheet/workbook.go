package sheet

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"pleatstat/dataset/internal/cellparse"
)

// maxUnpacked bounds what a workbook may unpack to, bytes.
const maxUnpacked = 1 << 30

// openWorkbook reads one sheet of an .xlsx workbook. Numbers are taken as
// stored, not as rounded for display; a currency or percent sign that only the
// display shows is put back.
func openWorkbook(data []byte, sheet string) (*Text, error) {
	if err := checkZip(data); err != nil {
		return nil, err
	}
	// With the same limit for a sheet the library keeps it in memory, and leaves no
	// temporary file when the run is ended.
	book, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: maxUnpacked})
	if err != nil {
		return nil, &FormatError{Reason: fmt.Sprintf("the workbook cannot be opened (%v); save it again as .xlsx or as CSV", err)}
	}
	defer book.Close()
	sheets := book.GetSheetList()
	if sheet == "" && len(sheets) > 0 {
		sheet = sheets[0]
	}
	if i, err := book.GetSheetIndex(sheet); err != nil || i < 0 {
		return nil, &FormatError{Reason: fmt.Sprintf("the workbook has no sheet %q; its sheets are %s", sheet, strings.Join(sheets, ", "))}
	}
	t := &Text{Encoding: "xlsx", Workbook: true}
	if props, err := book.GetWorkbookProps(); err == nil && props.Date1904 != nil {
		t.Date1904 = *props.Date1904
	}
	if err := t.fill(book, sheet); err != nil {
		return nil, err
	}
	return t, nil
}

// fill writes the rows of the sheet as CSV, so that everything behind it works
// on one form, and remembers which row each record came from.
func (t *Text) fill(book *excelize.File, sheet string) error {
	stored, err := book.Rows(sheet)
	if err != nil {
		return &FormatError{Reason: fmt.Sprintf("the sheet cannot be read (%v)", err)}
	}
	defer stored.Close()
	shown, err := book.Rows(sheet)
	if err != nil {
		return &FormatError{Reason: fmt.Sprintf("the sheet cannot be read (%v)", err)}
	}
	defer shown.Close()

	var out bytes.Buffer
	w := csv.NewWriter(&out)
	line := 1
	for row := 1; stored.Next() && shown.Next(); row++ {
		raw, err := stored.Columns(excelize.Options{RawCellValue: true})
		if err != nil {
			return &FormatError{Reason: fmt.Sprintf("row %d of the sheet cannot be read (%v)", row, err)}
		}
		display, err := shown.Columns()
		if err != nil {
			return &FormatError{Reason: fmt.Sprintf("row %d of the sheet cannot be read (%v)", row, err)}
		}
		if len(raw) > MaxColumns {
			return &LimitError{What: "columns", Line: row, Limit: MaxColumns}
		}
		if strings.Join(raw, "") == "" {
			continue
		}
		for i := range raw {
			if i < len(display) {
				raw[i] = restore(raw[i], display[i])
			}
		}
		before := out.Len()
		if err := w.Write(raw); err != nil {
			return &FormatError{Reason: fmt.Sprintf("row %d of the sheet cannot be read (%v)", row, err)}
		}
		w.Flush()
		if out.Len() > MaxFile {
			return &LimitError{What: "workbook", Limit: MaxFile}
		}
		t.starts = append(t.starts, int32(line))
		t.rows = append(t.rows, int32(row))
		line += bytes.Count(out.Bytes()[before:], []byte{'\n'})
	}
	if err := stored.Error(); err != nil {
		return &FormatError{Reason: fmt.Sprintf("the sheet cannot be read to its end (%v)", err)}
	}
	t.Data = out.Bytes()
	return nil
}

// restore gives a stored number the sign its display has.
func restore(stored, shown string) string {
	if stored == shown || shown == "" {
		return stored
	}
	v, err := strconv.ParseFloat(stored, 64)
	if err != nil {
		return stored
	}
	if strings.HasSuffix(strings.TrimSpace(shown), "%") {
		return strconv.FormatFloat(math.Round(v*1e12)/1e10, 'g', -1, 64) + "%"
	}
	sign := strings.Trim(shown, "0123456789.,-() \u00a0\u202f")
	if cellparse.IsCurrency(sign) {
		return sign + tidy(v)
	}
	return tidy(v)
}

// tidy writes a stored number without the noise of its last binary digit:
// spreadsheets keep 15 decimal digits but write 17.
func tidy(v float64) string {
	s := strconv.FormatFloat(v, 'g', 15, 64)
	if r, err := strconv.ParseFloat(s, 64); err == nil {
		return strconv.FormatFloat(r, 'f', -1, 64)
	}
	return s
}

// checkZip refuses archives that are not .xlsx workbooks.
func checkZip(data []byte) error {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return &FormatError{Reason: "the file starts like a workbook but is damaged; save it again"}
	}
	for _, f := range z.File {
		switch f.Name {
		case "xl/workbook.xml":
			return nil
		case "mimetype":
			r, err := f.Open()
			if err != nil {
				continue
			}
			kind, _ := io.ReadAll(io.LimitReader(r, 100))
			r.Close()
			if bytes.Contains(kind, []byte("opendocument.spreadsheet")) {
				return &FormatError{Reason: "this is an .ods workbook; save it as CSV or as .xlsx"}
			}
		}
	}
	return &FormatError{Reason: "this is an archive without a workbook in it; a log is a CSV file or an .xlsx workbook"}
}
