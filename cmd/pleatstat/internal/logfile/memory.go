package logfile

import (
	"fmt"
	"io/fs"
	"math"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strings"

	"pleatstat/cmd/pleatstat/internal/console"
)

// Bytes of memory for each byte of a log, measured on a log of a million
// openings and 14 columns.
const (
	readNeed   = 4.5 // to read and to check it
	reportNeed = 7.0 // for a report, the least that does
	reportRoom = 11  // for a report without the collector having to hurry; spareRoom at most comes on top
	unpacked   = 8   // bytes of text in a byte of a workbook
)

const (
	ownRoom   = 21 << 20 // bytes the program takes whatever the log
	spareRoom = 85e6
	pixelRoom = 4.5 // bytes a pixel of a chart takes on each core, and a little for what is drawn with
)

// By how much the heap grows, in percent, before the collector comes: the Go
// runtime's own setting and the one within a limit.
const (
	usualPercent   = 100
	patientPercent = 400
)

// textSize is the size of a log as text, 0 where it cannot be told.
func textSize(path string, inputs []fs.FileInfo) float64 {
	var size float64
	for _, in := range inputs {
		if in.Mode().IsRegular() {
			size += float64(in.Size())
		}
	}
	if ext := strings.ToLower(filepath.Ext(path)); ext == ".xlsx" || ext == ".ods" {
		size *= unpacked
	}
	return size
}

// EnoughToReport refuses a log that a report cannot fit in the memory for.
func EnoughToReport(c *console.Console, path string) error { return enough(c, path, reportNeed) }

// enough refuses a log that cannot fit in the memory the user allows
// (GOMEMLIMIT), before the work begins rather than by being killed in its midst.
func enough(c *console.Console, path string, perByte float64) error {
	limit := debug.SetMemoryLimit(-1)
	need := ownRoom + perByte*textSize(path, Inputs(c, path))
	if limit == math.MaxInt64 || need <= float64(limit) {
		return nil
	}
	return fmt.Errorf("%s needs about %.0f MB of memory and GOMEMLIMIT allows %.0f MB; raise it or split the log",
		filepath.Base(path), need/1e6, float64(limit)/1e6)
}

// Bound keeps a report to the memory it can do with, until the function it
// returns is called. Left alone the collector waits until the heap has doubled:
// too late for a long log, most of which is columns of numbers that cost nothing
// to look through once more, and far too soon for a short one. So it is told to
// come when the memory is used up. What the user has set (GOMEMLIMIT, GOGC)
// stands, and input of unknown length has no limit. Its charts have width times
// height pixels.
func Bound(c *console.Console, path string, width, height int) (restore func()) {
	size := textSize(path, Inputs(c, path))
	if size == 0 || debug.SetMemoryLimit(-1) != math.MaxInt64 {
		return func() {}
	}
	pixels := float64(width) * float64(height) * float64(runtime.GOMAXPROCS(0))
	debug.SetMemoryLimit(int64(ownRoom + reportRoom*size + min(reportRoom*size, spareRoom) + pixelRoom*pixels))
	percent := debug.SetGCPercent(patientPercent)
	if percent != usualPercent {
		debug.SetGCPercent(percent)
	}
	return func() {
		debug.SetGCPercent(percent)
		debug.SetMemoryLimit(math.MaxInt64)
	}
}
