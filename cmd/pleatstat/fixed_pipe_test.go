//go:build unix

package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// TestFixedFromAPipe: a log that comes through a pipe has come once; the copy
// holds all of it.
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
