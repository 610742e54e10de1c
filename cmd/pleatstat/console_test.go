package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"
)

func TestTerminalsOfOtherEncodingsGetASCII(t *testing.T) {
	for _, c := range []struct {
		system, env string
		utf8        bool
	}{
		{"linux", "LANG=en_GB.UTF-8", true},
		{"linux", "LANG=C.utf8", true},
		{"linux", "LC_ALL=C LANG=en_GB.UTF-8", false},
		{"linux", "LC_CTYPE=de_DE.UTF-8 LANG=C", true},
		{"linux", "LANG=en_GB.ISO-8859-1", false},
		{"linux", "LANG=POSIX", false},
		{"linux", "", false},
		{"darwin", "", true},
		{"darwin", "LC_ALL=C", false},
		{"windows", "", true},
		{"windows", "LANG=C", true},
	} {
		getenv := func(name string) string {
			for _, set := range strings.Fields(c.env) {
				if value, ok := strings.CutPrefix(set, name+"="); ok {
					return value
				}
			}
			return ""
		}
		if got := showsUTF8(c.system, getenv); got != c.utf8 {
			t.Errorf("%s with %q: UTF-8 %v", c.system, c.env, got)
		}
	}
}

// Everything the tool says of its own has a likeness in ASCII, and none of it is
// lost.
func TestAllThatIsSaidHasAnASCIIForm(t *testing.T) {
	for _, args := range [][]string{
		{"report", demoLog}, {"check", demoLog}, {"drift", demoLog}, {"roundup", demoLog}, {"price", demoLog}, {"columns"},
		{"compare", demoLog, "Veldmarsh VM2146", "Thornquay T-385"}, {"trend", demoLog, "--of", "price", "--on", "media_area"},
		{"--help"}, {"report", "--help"}, {"price", "--help"}, {"roundup", "--help"}, {"check", "--help"},
	} {
		said := call("", args...).stdout
		plain := inASCII(said)
		if i := strings.IndexFunc(plain, func(r rune) bool { return r > unicode.MaxASCII }); i >= 0 {
			t.Errorf("%v: %q is left", args, plain[i:min(len(plain), i+20)])
		}
		if strings.Count(plain, "?") > strings.Count(said, "?") || strings.Count(plain, "\n") != strings.Count(said, "\n") {
			t.Errorf("%v: a sign has no likeness: %q", args, plain)
		}
	}
	for in, want := range map[string]string{
		"−0.4 to 2.5 × £8.99, 41 ⅜ in²": "-0.4 to 2.5 x GBP 8.99, 41 3/8 in2", "Größe, 20 µm …": "Grosse, 20 um ...", "船": "?", "\x1b[1mA\x1b[0m\n": "\x1b[1mA\x1b[0m\n",
	} {
		if got := inASCII(in); got != want {
			t.Errorf("%q becomes %q, want %q", in, got, want)
		}
	}
}

// Files are the same on every system: lines end with a line feed alone.
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
