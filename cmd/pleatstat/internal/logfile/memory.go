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
	reportNeed = 7.0 // for a report, the least it runs with
	reportRoom = 11  // for a report with few garbage collections; as much again, up to spareRoom, comes on top
	unpacked   = 8   // bytes of text per byte of a workbook
)

const (
	ownRoom   = 21 << 20 // bytes that the program takes, however small the log
	spareRoom = 85e6
	pixelRoom = 4.5 // bytes per pixel of a chart on each core, with a little for the drawing itself
)

// By how many percent the heap grows before the garbage collector runs: the default
// of the Go runtime, and the value used under a memory limit.
const (
	usualPercent   = 100
	patientPercent = 400
)

// textSize returns the size of a log as text in bytes, 0 if it is not known.
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

// CheckMemory returns an error if a report on the log needs more memory than the
// user allows.
func CheckMemory(c *console.Console, path string) error { return checkMemory(c, path, reportNeed) }

// checkMemory returns an error if work on the log needs more memory than the user allows
// (GOMEMLIMIT): it is better to stop before the work than to be killed in its midst.
func checkMemory(c *console.Console, path string, perByte float64) error {
	limit := debug.SetMemoryLimit(-1)
	need := ownRoom + perByte*textSize(path, Inputs(c, path))
	if limit == math.MaxInt64 || need <= float64(limit) {
		return nil
	}
	return fmt.Errorf("%s needs about %.0f MB of memory and GOMEMLIMIT allows %.0f MB; raise it or split the log",
		filepath.Base(path), need/1e6, float64(limit)/1e6)
}

// LimitMemory limits the memory of a report until the function it returns is called. By
// default the garbage collector runs when the heap has doubled: too late for a long
// log, most of which is columns of numbers that cost nothing to scan again, and far
// too soon for a short one. LimitMemory makes it run when a certain amount of memory is
// used up instead. What the user has set (GOMEMLIMIT, GOGC) takes precedence, and
// input of unknown length gets no limit. The charts have width times height pixels.
func LimitMemory(c *console.Console, path string, width, height int) (restore func()) {
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
