package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"pleatstat/cmd/pleatstat/internal/console"
)

// Every text of the tool's own has an ASCII form in which nothing is lost.
func TestAllThatIsSaidHasAnASCIIForm(t *testing.T) {
	for _, args := range [][]string{
		{"report", demoLog}, {"check", demoLog}, {"drift", demoLog}, {"roundup", demoLog}, {"price", demoLog}, {"columns"},
		{"compare", demoLog, "Veldmarsh VM2146", "Thornquay T-385"}, {"trend", demoLog, "--of", "price", "--on", "media_area"},
		{"--help"}, {"report", "--help"}, {"price", "--help"}, {"roundup", "--help"}, {"check", "--help"},
	} {
		said := call("", args...).stdout
		plain := console.ASCII(said)
		if i := strings.IndexFunc(plain, func(r rune) bool { return r > unicode.MaxASCII }); i >= 0 {
			t.Errorf("%v: %q is left", args, plain[i:min(len(plain), i+20)])
		}
		if strings.Count(plain, "?") > strings.Count(said, "?") || strings.Count(plain, "\n") != strings.Count(said, "\n") {
			t.Errorf("%v: a sign has no likeness: %q", args, plain)
		}
	}
}

// Files are the same on every system: lines end with a line feed only.
func TestNoCarriageReturnsInFiles(t *testing.T) {
	dir := t.TempDir()
	for _, args := range [][]string{
		{"roundup", demoLog, "--out", dir, "--html", "--no-plots"}, {"report", demoLog, "--out", dir, "--format", "svg", "--size", "480x270"},
		{"drift", demoLog, "--csv", filepath.Join(dir, "drift.csv")}, {"check", demoLog, "--csv", filepath.Join(dir, "slips.csv"), "--fixed", filepath.Join(dir, "better.csv")},
	} {
		if r := call("", args...); r.code != exitDone && r.code != exitLogErrors {
			t.Fatalf("%v: %s", args, r.stderr)
		}
	}
	for _, name := range files(t, dir) {
		if data, err := os.ReadFile(filepath.Join(dir, name)); err != nil || bytes.Contains(data, []byte{'\r'}) {
			t.Errorf("%s holds a carriage return (%v)", name, err)
		}
	}
}
