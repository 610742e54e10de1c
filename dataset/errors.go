package dataset

import (
	"fmt"

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

// SystemError is returned for units that are neither metric nor us.
type SystemError struct{ Units string }

func (e *SystemError) Error() string {
	return fmt.Sprintf("unknown units %q; use metric or us", e.Units)
}
