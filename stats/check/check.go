// Package check looks for slips of the pen in a log of openings: readings that are
// impossible, contradict another reading of the same filter, or differ from those
// of every other opening of the same part.
//
// # Method
//
// Every row is compared with three kinds of evidence, all on the logarithm of the
// readings, where a wrong unit or decimal point is a shift by a known amount:
// relations between readings of one filter (a can's mass against its gauge, its
// size and the density of steel; media mass against its area; …), the other
// openings of the same part, and the log's own usual range. Centres are medians
// and scales are median absolute deviations, so that the slips themselves do not
// move them. Where a row contradicts the evidence, every single change that could
// undo a slip is tried (another unit, the point moved, two digits turned round,
// two cells exchanged), and the one that makes the whole row agree best is
// reported once, at its cause. Its gain has to exceed a penalty that grows with
// the number of changes that could have been tried.
//
// Separately, limits that no filter can break (limits.go) decide which readings
// are impossible and have to be set aside from fits.
//
// The check does not change the log.
package check

import (
	"cmp"
	"maps"
	"slices"
	"sync"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/changepoint"
	"pleatstat/stats/dates"
	"pleatstat/stats/slip"
)

// Options of a check. The zero value is the default.
type Options struct {
	Today time.Time // openings dated after this day are set aside; zero = no such check
}

// Suggestion is what a cell was probably meant to say.
type Suggestion struct {
	File     string    `json:"file"`
	Line     int       `json:"line"`   // 1-based line of the file on which the cell starts
	Column   int       `json:"column"` // 1-based field number
	Name     string    `json:"name"`   // canonical column name
	Found    string    `json:"found"`
	Intended string    `json:"intended"` // as it could be written into the cell
	Why      string    `json:"why"`
	Kind     slip.Kind `json:"kind"`
	Sure     bool      `json:"sure"` // no other explanation comes close
}

// Result of a check.
type Result struct {
	Problems    []dataset.Problem    // the reader's and those found here, in order of line and column
	Suggestions []Suggestion         // in the same order
	SetAside    []dataset.CellRef    // readings that are physically impossible and impossible dates, in order of row
	Doubted     []dataset.CellRef    // doubtful readings, in order of row; not used for records or reported changes
	Changes     []changepoint.Change // parts that changed under the same number, in order of row; not slips
	Calibration Calibration          // measured can gauges against those implied by mass, size and material
}

// Run checks a log. The error is nil at present.
func Run(log *dataset.Log, o Options) (*Result, error) {
	t := newTable(log)
	f := &findings{log: log, doubted: map[dataset.CellRef]bool{}}
	f.problems = append(f.problems, log.Problems()...)

	var beside sync.WaitGroup // independent of the rest
	spelt := &findings{log: log}
	beside.Go(func() {
		spellings(log, spelt)
	})
	nothings(t, f)
	wholeColumns(t, f)
	changes := t.changes()
	m := newModel(t)
	spreadReadings(t, f)
	slips(t, m, f)
	masses(t, m, f)
	touching(t, f)
	bypassSprings(t, f)
	bench := calibration(t, f)
	duplicates(t, f)
	impossibleDates(f, o.Today)
	beside.Wait()
	f.problems = append(f.problems, spelt.problems...)
	f.suggestions = append(f.suggestions, spelt.suggestions...)
	r := f.result()
	r.Changes, r.Calibration = changes, bench
	return r, nil
}

// findings collects what a check finds.
type findings struct {
	log         *dataset.Log
	problems    []dataset.Problem
	suggestions []Suggestion
	setAside    map[dataset.CellRef]bool
	doubted     map[dataset.CellRef]bool
}

// reported returns the cells that are doubted or set aside.
func (f *findings) reported() map[dataset.CellRef]bool {
	out := maps.Clone(f.doubted)
	maps.Copy(out, f.setAside)
	return out
}

// at reports a problem of one cell.
func (f *findings) at(row int, column string, severity dataset.Severity, message string) {
	_, number := f.log.Header(column)
	p := dataset.Problem{File: f.log.File(), Column: number, Name: column, Message: message, Severity: severity}
	if c, ok := f.log.Cell(row, column); ok {
		p.Line, p.Column, p.Text = c.Line, c.Column, c.Text
	}
	f.problems = append(f.problems, p)
	if severity == dataset.Doubtful {
		f.doubted[dataset.CellRef{Row: row, Column: column}] = true
	}
}

// suggest records what a cell was probably meant to say.
func (f *findings) suggest(row int, column, intended, why string, kind slip.Kind, sure bool) {
	c, ok := f.log.Cell(row, column)
	if !ok || intended == c.Text {
		return
	}
	f.suggestions = append(f.suggestions, Suggestion{
		File: f.log.File(), Line: c.Line, Column: c.Column, Name: column,
		Found: c.Text, Intended: intended, Why: why, Kind: kind, Sure: sure,
	})
}

func (f *findings) aside(row int, column string) {
	if f.setAside == nil {
		f.setAside = map[dataset.CellRef]bool{}
	}
	f.setAside[dataset.CellRef{Row: row, Column: column}] = true
}

// impossibleDates reports doubtful dates, and sets aside those that are
// impossible.
func impossibleDates(f *findings, today time.Time) {
	for _, d := range dates.Doubts(f.log, today) {
		f.at(d.Row, "opened", dataset.Doubtful, d.Message)
		if d.Aside {
			f.aside(d.Row, "opened")
		}
		if d.Intended != "" {
			f.suggest(d.Row, "opened", d.Intended, d.Why, slip.Date, false)
		}
	}
}

func (f *findings) result() *Result {
	r := &Result{Problems: f.problems, Suggestions: f.suggestions}
	slices.SortStableFunc(r.Problems, func(a, b dataset.Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	slices.SortStableFunc(r.Suggestions, func(a, b Suggestion) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	r.SetAside, r.Doubted = inOrderOf(f.setAside), inOrderOf(f.doubted)
	return r
}

func inOrderOf(cells map[dataset.CellRef]bool) []dataset.CellRef {
	return slices.SortedFunc(maps.Keys(cells), func(a, b dataset.CellRef) int {
		return cmp.Or(cmp.Compare(a.Row, b.Row), cmp.Compare(a.Column, b.Column))
	})
}
