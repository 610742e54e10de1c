package main

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// page is the flag -page, which writes a table to cmd/calibrate/results as well.
type page struct{ wanted *bool }

func pageFlag(flags *flag.FlagSet) page {
	return page{flags.Bool("page", false, "write the page of cmd/calibrate/results as well; run from the module's folder")}
}

// write calls tables with a writer to stdout and, if the flag is set, to the page
// of the given name, which is headed by the command, the seed and the commit.
func (p page) write(name string, args []string, seed uint64, stdout io.Writer, tables func(io.Writer) error) error {
	if !*p.wanted {
		return tables(stdout)
	}
	commit, err := exec.Command("git", "describe", "--always", "--dirty", "--abbrev=12").Output()
	if err != nil {
		return fmt.Errorf("which commit this is: %w", err)
	}
	var text bytes.Buffer
	fmt.Fprintf(&text, "# %s\n\nWritten by `go run ./cmd/calibrate %s`, seed %d, commit %s.\n\n", name,
		strings.Join(append([]string{name}, args...), " "), seed, strings.TrimSpace(string(commit)))
	if err := tables(io.MultiWriter(stdout, &text)); err != nil {
		return err
	}
	folder := filepath.Join("cmd", "calibrate", "results")
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(folder, name+".md"), text.Bytes(), 0o644)
}
