//go:build unix

package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// A log from a pipe can be read only once; the copy still holds all of it.
func TestFixedFromAPipe(t *testing.T) {
	text := slipText()
	log, copied := pipe(t), filepath.Join(t.TempDir(), "better.csv")
	go func() {
		if f, err := os.OpenFile(log, os.O_WRONLY, 0); err == nil {
			_, _ = f.WriteString(text)
			f.Close()
		}
	}()
	r := call("", "check", log, "--fixed", copied)
	if r.code != 3 {
		t.Fatalf("%+v", r)
	}
	viaPipe, err := os.ReadFile(copied)
	if err != nil {
		t.Fatal(err)
	}
	file := logFile(t, text)
	want(t, call("", "check", file, "--fixed", copied+"2"), 3)
	viaFile, err := os.ReadFile(copied + "2")
	if err != nil || !bytes.Equal(viaPipe, viaFile) || len(viaPipe) < len(text)-10 || string(viaPipe) == text {
		t.Errorf("%v: a copy of %d bytes from the pipe, of %d from the file", err, len(viaPipe), len(viaFile))
	}
}

// A log named by the number of an open file is not called by that number in messages.
func TestALogBehindANumberHasAName(t *testing.T) {
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	path := fmt.Sprintf("/dev/fd/%d", r.Fd())
	if _, err := os.Stat(path); err != nil {
		t.Skip("this system shows no open files:", err)
	}
	go func() {
		_, _ = w.WriteString(slipText())
		w.Close()
	}()
	got := call("", "report", path)
	want(t, got, exitDone)
	wantOutput(t, got, "What was opened a pipe: ")
}
