// Package dataset reads a log of opened filters: a CSV file or a workbook with
// one line for each part cut open. It keeps the line and the text of every cell
// beside its value, numbers the products, puts prices into one currency, computes the
// measures that follow from others and selects openings. What columns there are stands
// in dataset/catalogue; how headers, cells and rows are read, in the packages inside.
package dataset

import (
	"fmt"
	"io"
	"os"

	"pleatstat/dataset/internal/layout"
	"pleatstat/dataset/internal/reader"
	"pleatstat/dataset/internal/sheet"
)

// Choice says which header of a log is which column, where the reader of headers
// would not know or guess wrong.
type Choice = layout.Choice

// Options say how a log is read. The zero value reads every
// sheet that holds a log, keeps every spelling, and speaks the units the log is
// written in.
type Options struct {
	Units          string   // output units: "" = as the log writes them, "metric", "us"
	MergeSpellings bool     // join makers and parts that are spelt two ways
	Sheet          string   // sheets of a workbook with commas between, "" = all that are not hidden and hold a log
	Unpacked       int64    // bytes a sheet of a workbook may unpack to, 0 = 200 MiB
	Columns        []Choice // headers that are columns of another name
	// Rates of exchange, as ParseRates gives them: prices in these currencies are
	// converted to that of most of the log.
	Rates map[string]float64
}

// ReadFile reads the log in a file. Errors are *os.PathError, or those of Read.
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

// Read reads a log. File is the name problems are reported under.
//
// A cell that cannot be read costs that cell: it counts as blank and stands in
// Problems. Read fails with *EmptyError, *MissingColumnError,
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
