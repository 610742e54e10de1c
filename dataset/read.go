// Package dataset reads a log of opened filters: a CSV file or a workbook with
// one line for each filter cut open. A Log keeps the line and the text of every
// cell beside its value in base units. The package also numbers the products,
// converts prices to one currency, computes derived measures and selects
// openings. The columns are described in dataset/catalogue; the packages under
// internal read headers, cells and rows.
package dataset

import (
	"fmt"
	"io"
	"os"

	"pleatstat/dataset/internal/layout"
	"pleatstat/dataset/internal/reader"
	"pleatstat/dataset/internal/sheet"
)

// Choice assigns a header of a log to a column where the header alone would not
// be recognised, or would be read wrongly.
type Choice = layout.Choice

// Options control how a log is read. The zero value reads every sheet that
// holds a log, keeps every spelling, and shows values in the units in which the
// log is written.
type Options struct {
	Units          string   // output units: "" = as in the log, "metric", "us"
	MergeSpellings bool     // join different spellings of one maker or part
	Sheet          string   // comma-separated sheets of a workbook, "" = all visible ones that hold a log
	Unpacked       int64    // bytes to which one part of a workbook may unpack, 0 = 200 MiB
	Columns        []Choice // headers assigned to columns by the user
	// Rates are exchange rates as ParseRates returns them: prices in these
	// currencies are converted to the main currency of the log.
	Rates map[string]float64
}

// ReadFile reads the log in a file. Errors are of type *os.PathError, or those
// of Read.
func ReadFile(path string, o Options) (*Log, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if info.IsDir() {
		return nil, &FormatError{Reason: path + " is a directory, not a log"}
	}
	return read(f, info.Size(), path, o)
}

// Read reads a log from r. Problems are reported under the name file.
//
// A cell that cannot be read costs only that cell: it counts as blank and is
// listed in Problems. Read fails with *EmptyError, *MissingColumnError,
// *DuplicateColumnError, *ChoiceError, *LimitError, *FormatError or
// *SystemError, or with the error of r.
func Read(r io.Reader, file string, o Options) (*Log, error) { return read(r, 0, file, o) }

func read(r io.Reader, size int64, file string, o Options) (*Log, error) {
	if o.Units != "" && o.Units != "metric" && o.Units != "us" {
		return nil, &SystemError{Units: o.Units}
	}
	picks, err := layout.Choose(o.Columns)
	if err != nil {
		return nil, err
	}
	read, err := sheet.Open(r, size, sheet.Options{Sheets: o.Sheet, Unpacked: o.Unpacked})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	text, place, sheets, err := layout.Find(read, o.Sheet != "", picks)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	p, err := reader.Read(text, file, place)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	if len(p.Lines) == 0 {
		empty := &EmptyError{HeaderLine: place.Line}
		for _, found := range p.Problems.Close(file, place.Line, text.SourceColumn) {
			if found.Severity == Unusable {
				empty.Problem = &found
				break
			}
		}
		return nil, fmt.Errorf("%s: %w", file, empty)
	}
	p.Settle()
	log, err := finish(text, p, o)
	if err != nil {
		return nil, err
	}
	log.sheets, log.lost = sheets, p.Lost
	return log, nil
}
