package main

import (
	"math"
	"path/filepath"
	"runtime/debug"
	"strings"
	"testing"
)

// A log that does not fit into the memory is refused before any work, with the amount
// that it needs, and nothing is written.
func TestALogBeyondTheMemoryLimitIsRefused(t *testing.T) {
	log := logFile(t, soundText+strings.Repeat("2024-03-09,Thornquay,TQ-2,$9.99,62.8,1.44,0.46,64.0\n", 100_000))
	before := debug.SetMemoryLimit(23e6)
	defer debug.SetMemoryLimit(before)
	out := filepath.Join(t.TempDir(), "out")
	for _, args := range [][]string{{"report", log, "--out", out}, {"check", log}} {
		r := call("", args...)
		want(t, r, exitFailed)
		if !strings.Contains(r.stderr, "GOMEMLIMIT allows 23 MB") || !strings.Contains(r.stderr, "split the log") {
			t.Errorf("%s: stderr %q", args[0], r.stderr)
		}
	}
	if found, _ := filepath.Glob(out + "*"); found != nil {
		t.Errorf("left behind: %v", found)
	}
}

// After a report the process has no memory limit any more.
func TestAReportLiftsItsMemoryBound(t *testing.T) {
	want(t, call("", "report", demoLog, "--no-plots", "--out", filepath.Join(t.TempDir(), "out")), exitDone)
	if limit := debug.SetMemoryLimit(-1); limit != math.MaxInt64 {
		t.Errorf("memory limit %d after the report", limit)
	}
}
