package dataset

import (
	"fmt"

	"pleatstat/dataset/internal/layout"
	"pleatstat/dataset/internal/problem"
	"pleatstat/dataset/internal/sheet"
)

// DefaultUnpacked is the size in bytes to which one part of a workbook may
// unpack, unless Options.Unpacked sets another.
const DefaultUnpacked = sheet.DefaultUnpacked

// LimitError is returned for input larger than any log: a file over 1 GiB, a
// line over 1 MiB, more than 2000 columns, or a part of a workbook that unpacks
// to more than Options.Unpacked.
type LimitError = sheet.LimitError

// FormatError is returned for a file that is neither separated text nor a
// readable workbook.
type FormatError = sheet.FormatError

// Errors of a file in which no log was found.
type (
	// EmptyError is returned for a log without openings.
	EmptyError = layout.EmptyError
	// MissingColumnError is returned where no header line was found.
	MissingColumnError = layout.MissingColumnError
	// DuplicateColumnError is returned where two headers mean the same column.
	DuplicateColumnError = layout.DuplicateColumnError
	// ChoiceError is returned for a Choice that matches no column or no header.
	ChoiceError = layout.ChoiceError
)

// Problem is one fault found in the log, with its place.
type Problem = problem.Problem

// Severity says what a problem costs.
type Severity = problem.Severity

// The severities: the cell is lost, the value is doubtful, or nothing is lost.
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
