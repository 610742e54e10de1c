//go:build unix

package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
)

// process returns pleatstat as a separate process, with its own folder for temporary
// files.
func process(t *testing.T, args ...string) (cmd *exec.Cmd, temp string) {
	t.Helper()
	temp = t.TempDir()
	cmd = exec.Command(os.Args[0], args...)
	cmd.Env = append(os.Environ(), asCommand+"="+filepath.Join(t.TempDir(), "began"), "TMPDIR="+temp)
	return cmd, temp
}

// ended is how long a run may take to end after a signal; begun is how long a run gets to
// reach the place where it waits or works.
const (
	ended = 200 * time.Millisecond
	begun = 300 * time.Millisecond
)

// begin waits until the process has begun, which takes a while on a busy machine.
func begin(t *testing.T, cmd *exec.Cmd) {
	t.Helper()
	var file string
	for _, set := range cmd.Env {
		if value, ok := strings.CutPrefix(set, asCommand+"="); ok {
			file = value
		}
	}
	for range 3000 {
		if _, err := os.Stat(file); err == nil {
			time.Sleep(begun)
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatal("the process does not begin")
}

// stop sends the signal and waits for the end.
func stop(t *testing.T, cmd *exec.Cmd, sig syscall.Signal) {
	t.Helper()
	begin(t, cmd)
	at := time.Now()
	if err := cmd.Process.Signal(sig); err != nil {
		t.Fatal(err)
	}
	done := make(chan error, 1)
	go func() { done <- cmd.Wait() }()
	select {
	case err := <-done:
		var exit *exec.ExitError
		if !errors.As(err, &exit) || exit.ExitCode() != exitFailed {
			t.Errorf("%v: ended with %v", sig, err)
		}
		t.Logf("%v: ended after %v", sig, time.Since(at))
	case <-time.After(10 * ended): // the time is logged; a busy machine may take longer
		cmd.Process.Kill()
		t.Errorf("%v: goes on after %v", sig, 10*ended)
	}
}

func pipe(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "pipe.csv")
	if err := syscall.Mkfifo(path, 0o600); err != nil {
		t.Skip("no named pipes here:", err)
	}
	return path
}

// largeWorkbook writes a workbook with a sheet of some 25 MB of XML, more than the
// spreadsheet library keeps in memory by default.
func largeWorkbook(t *testing.T) string {
	t.Helper()
	book := excelize.NewFile()
	w, err := book.NewStreamWriter("Sheet1")
	if err != nil {
		t.Fatal(err)
	}
	header := []any{"opened", "maker", "part", "price", "media_length_in", "element_width_in", "can_gauge_mm", "can_mass_g", "notes"}
	row := []any{"2024-03-08", "Skerrow", "SK-1", 8.99, 43.2, 1.62, 0.44, 61.5, strings.Repeat("opened at the harbour ", 10)}
	for i := range 40_000 {
		line := row
		if i == 0 {
			line = header
		}
		if err := w.SetRow(fmt.Sprint("A", i+1), line); err != nil {
			t.Fatal(err)
		}
	}
	path := filepath.Join(t.TempDir(), "large.xlsx")
	if err := errors.Join(w.Flush(), book.SaveAs(path), book.Close()); err != nil {
		t.Fatal(err)
	}
	return path
}

// Each signal ends a run at once, wherever it waits, and nothing is left behind.
func TestSignalsEndARunAnywhere(t *testing.T) {
	for _, sig := range []syscall.Signal{syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP} {
		if signal.Ignored(sig) { // by whoever runs the tests, and the runs inherit that
			t.Logf("%v is ignored here and was not tried", sig)
			continue
		}
		out := filepath.Join(t.TempDir(), "out")
		for name, args := range map[string][]string{
			"waiting for a named pipe":         {"report", pipe(t), "--out", out},
			"checking a named pipe":            {"check", pipe(t), "--fixed", filepath.Join(out, "better.csv")},
			"waiting for standard input":       {"report", "-", "--out", out},
			"waiting for the rows of a price":  {"price", demoLog, "--what-if", "-"},
			"waiting for who reads the output": {"report", demoLog, "--json"},
		} {
			t.Run(fmt.Sprint(sig, " ", name), func(t *testing.T) {
				t.Parallel()
				cmd, temp := process(t, args...)
				in, err := cmd.StdinPipe() // stays open: nothing comes
				if err != nil {
					t.Fatal(err)
				}
				defer in.Close()
				var stderr bytes.Buffer
				cmd.Stderr = &stderr
				if name == "waiting for who reads the output" {
					unread, w, err := os.Pipe()
					if err != nil {
						t.Fatal(err)
					}
					defer unread.Close()
					defer w.Close()
					cmd.Stdout = w
				}
				if err := cmd.Start(); err != nil {
					t.Fatal(err)
				}
				if name == "waiting for who reads the output" {
					time.Sleep(2 * begun)
				}
				stop(t, cmd, sig)
				if !strings.Contains(stderr.String(), "stopped") {
					t.Errorf("standard error: %q", stderr.String())
				}
				if left := append(files(t, out), files(t, temp)...); len(left) != 0 {
					t.Errorf("left behind: %v", left)
				}
			})
		}
	}
}

// The spreadsheet library leaves no temporary file, whether a run is stopped or not.
func TestWorkbooksLeaveNoTemporaryFiles(t *testing.T) {
	book := largeWorkbook(t)
	cmd, temp := process(t, "check", book)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	stop(t, cmd, syscall.SIGTERM)
	if left := files(t, temp); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
	cmd, temp = process(t, "check", book)
	cmd.Stdout = io.Discard
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	done := make(chan error, 1)
	go func() { done <- cmd.Wait() }()
	for seen := false; ; {
		if left := files(t, temp); len(left) != 0 && !seen {
			seen = true
			t.Errorf("while it runs there is %v, which would be left if it were killed", left)
		}
		select {
		case <-done:
			return
		case <-time.After(time.Millisecond):
		}
	}
}

// A run that was started to outlive its terminal does so.
func TestIgnoredSignalsStayIgnored(t *testing.T) {
	sh, err := exec.LookPath("sh")
	if err != nil {
		t.Skip(err)
	}
	cmd, _ := process(t)
	log := pipe(t)
	cmd.Path, cmd.Args = sh, []string{"sh", "-c", `trap "" HUP; exec "$0" check "$1"`, os.Args[0], log}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	begin(t, cmd)
	if err := cmd.Process.Signal(syscall.SIGHUP); err != nil {
		t.Fatal(err)
	}
	time.Sleep(begun)
	if err := os.WriteFile(log, []byte(soundText), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); err != nil {
		t.Errorf("ended with %v", err)
	}
}
