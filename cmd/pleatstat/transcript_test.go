package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write the transcripts of testdata anew")

// A transcript is a text file of calls as they are typed, each followed by what it
// prints, with lines of standard error marked "2> ", and by its exit code. Lines with
// "## " before a call describe it. To add a call, write its line, run
//
//	go test ./cmd/pleatstat -run TestTranscripts -update
//
// and read what changed. The calls run in a folder with the demo log as log.csv and the
// small logs of testdata.
func TestTranscripts(t *testing.T) {
	paths, err := filepath.Glob("testdata/*.txt")
	if err != nil || len(paths) == 0 {
		t.Fatalf("no transcripts: %v", err)
	}
	small, err := filepath.Glob("testdata/*.csv")
	if err != nil {
		t.Fatal(err)
	}
	files := map[string]string{} // read by absolute path, before the working folder changes
	for _, path := range paths {
		full, err := filepath.Abs(path)
		if err != nil {
			t.Fatal(err)
		}
		if text := readAll(t, path); strings.Contains("\n"+text, "\n$ ") {
			files[full] = text
		}
	}
	logs := map[string]string{}
	for _, path := range small {
		logs[filepath.Base(path)] = readAll(t, path)
	}
	workshop(t)
	for name, text := range logs {
		if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	for path, stored := range files {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txt"), func(t *testing.T) {
			now := transcript(t, stored)
			if *update {
				if err := os.WriteFile(path, []byte(now), 0o666); err != nil {
					t.Fatal(err)
				}
			} else if d := cmp.Diff(stored, now); d != "" {
				t.Errorf("the transcript changed (-stored +now); -update writes it anew:\n%s", d)
			}
		})
	}
}

func readAll(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// transcript runs the calls of a transcript again and writes down what they do.
func transcript(t *testing.T, stored string) string {
	var b strings.Builder
	for line := range strings.Lines(stored) {
		line = strings.TrimSuffix(line, "\n")
		if strings.HasPrefix(line, "## ") {
			b.WriteString(line + "\n")
		}
		typed, isCall := strings.CutPrefix(line, "$ pleatstat ")
		if !isCall {
			continue
		}
		args, stdin := words(t, typed)
		r := call(stdin, args...)
		fmt.Fprintf(&b, "%s\n%s", line, r.stdout)
		for said := range strings.Lines(r.stderr) {
			b.WriteString("2> " + said)
		}
		fmt.Fprintf(&b, "exit %d\n\n", r.code)
		if failed := r.code == exitFailed || r.code == exitUsage; failed && r.stdout != "" {
			t.Errorf("%s fails and prints %q", typed, r.stdout)
		}
		if r.code == exitUsage != strings.Contains(r.stderr, "--help") {
			t.Errorf("%s: exit code %d, and standard error %q", typed, r.code, r.stderr)
		}
	}
	return b.String()
}

// words splits a call into words as a shell does; < names the file for standard input.
func words(t *testing.T, typed string) (args []string, stdin string) {
	all := exampleWord.FindAllString(typed, -1)
	for i := 0; i < len(all); i++ {
		if all[i] == "<" && i+1 < len(all) {
			i++
			stdin = readAll(t, all[i])
			continue
		}
		args = append(args, strings.Trim(all[i], `"'`))
	}
	return args, stdin
}
