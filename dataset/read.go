// Package dataset reads a log of opened filters: a CSV file or a workbook with
// one line for each part cut open. It knows the columns such a log may have,
// their units and the ways people write them, keeps the line and the text of
// every cell beside its value, and computes the measures that follow from
// others.
package dataset

import (
	"fmt"
	"io"
	"os"

	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/sheet"
)

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
	picks, err := choose(o.Columns)
	if err != nil {
		return nil, err
	}
	read, err := sheet.Open(r, size, sheet.Options{Sheets: o.Sheet, Unpacked: o.Unpacked})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	text, layout, sheets, err := findLog(read, o.Sheet != "", picks)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	p, err := parse(text, file, layout)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	if n := text.Replaced; n > 0 {
		p.report(0, 0, "", "", fmt.Sprintf("characters lost, since they are none in %[2]s: %[1]d; save the file again as UTF-8", n, text.Encoding), Doubtful)
	}
	lost := p.tellFormulas(text)
	if len(p.lines) == 0 {
		empty := &EmptyError{HeaderLine: layout.line}
		for _, problem := range p.problems.close(file, layout.line, text.SourceColumn) {
			if problem.Severity == Unusable {
				empty.Problem = &problem
				break
			}
		}
		return nil, fmt.Errorf("%s: %w", file, empty)
	}
	log, err := finish(text, p, o)
	if err != nil {
		return nil, err
	}
	log.sheets, log.lost = sheets, lost
	return log, nil
}

// parse reads the rows in the style the whole file shows. The first rows give
// a guess; where the rest contradicts it the file is read once more.
func parse(text *sheet.Text, file string, l *layout) (*pass, error) {
	hint := cellparse.OrderUnknown
	for _, h := range l.headings {
		if h.known && recorded[h.match.column].Kind == KindDate {
			hint = dateOrder(h.match.unit)
		}
	}
	s := style{}
	for limit := scoutRows; ; limit = 0 {
		p := newPass(file, l, s)
		if err := p.run(text, limit); err != nil {
			return nil, err
		}
		shown := p.evidence.decide(l.comma, hint)
		whole := limit == 0 || len(p.lines) < limit
		if whole && shown.same(s) {
			p.tellStyle(hint)
			return p, nil
		}
		s = shown
	}
}

// tellStyle reports what the file as a whole left open or what was assumed.
func (p *pass) tellStyle(hint cellparse.Order) {
	e := &p.evidence
	if e.depends > 0 && p.style.order == cellparse.OrderUnknown {
		for _, c := range p.cols {
			if c == nil || c.class != dates {
				continue
			}
			these, whose := fmt.Sprintf("%d dates", e.depends), "their"
			if e.depends == 1 {
				these, whose = "a date", "its"
			}
			p.report(e.firstDateLine, c.field+1, c.name, e.firstDate,
				these+" could be day first or month first and nothing in the column tells which; only "+whose+" year is used. Write 2024-03-08", Doubtful)
		}
	}
	if e.depends > 0 && p.style.order == hint && hint != cellparse.OrderUnknown && e.dayFirst+e.monthFirst == 0 {
		p.report(p.layout.line, 0, "opened", e.firstDate, "the order of day and month is taken from the header", Note)
	}
	if e.points+e.commas == 0 && e.dotted+e.comma3 > 0 && p.style.mark != cellparse.Undecided {
		p.report(p.layout.line, 0, "", e.firstNumber,
			fmt.Sprintf("numbers are taken to have a decimal %s, as files split like this one have", markName(p.style.mark)), Note)
	}
	thousands := e.comma3
	if p.style.mark == cellparse.Comma {
		thousands = e.dotted
	}
	if thousands > 0 && p.style.mark != cellparse.Undecided && e.points+e.commas > 0 {
		p.report(p.layout.line, 0, "", "", fmt.Sprintf("%d numbers such as 1%s234 are read as thousands: the file writes decimals with a %s", thousands, map[bool]string{true: ".", false: ","}[p.style.mark == cellparse.Comma], markName(p.style.mark)), Note)
	}
}
