package dataset

import (
	"fmt"

	"pleatstat/dataset/internal/layout"
	"pleatstat/dataset/internal/problem"
	"pleatstat/dataset/internal/sheet"
)

// DefaultUnpacked is what a part of a workbook may unpack to, in bytes, unless
// Options.Unpacked says otherwise.
const DefaultUnpacked = sheet.DefaultUnpacked

// LimitError is returned for input beyond what a log can be: a file over 1 GiB,
// a line over 1 MiB, more than 2000 columns.
type LimitError = sheet.LimitError

// FormatError is returned for a file that is neither separated text nor a
// workbook that can be read.
type FormatError = sheet.FormatError

// Errors of a file in which no log is found.
type (
	// EmptyError is returned for a log without openings.
	EmptyError = layout.EmptyError
	// MissingColumnError is returned where no header line is found.
	MissingColumnError = layout.MissingColumnError
	// DuplicateColumnError is returned where two headers mean the same column.
	DuplicateColumnError = layout.DuplicateColumnError
	// ChoiceError is returned for a choice that names no column or no header.
	ChoiceError = layout.ChoiceError
)

// Problem is one thing found wrong with the log, at the place where it stands.
type Problem = problem.Problem

// Severity says what a problem costs.
type Severity = problem.Severity

// What a problem costs: the cell, doubt, or nothing.
const (
	Unusable = problem.Unusable
	Doubtful = problem.Doubtful
	Note     = problem.Note
)

// SystemError is returned for units that are neither metric nor us.
type SystemError struct{ Units string }

func (e *SystemError) Error() string {
	return fmt.Sprintf("unknown units %q; use metric or us", e.Units)
}
