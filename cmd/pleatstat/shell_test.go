package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Shell completion offers what stands in the log.
func TestCompletionFromTheLog(t *testing.T) {
	for _, c := range []struct {
		args []string
		has  string
	}{
		{[]string{"price", demoLog, "--part", ""}, "Veldmarsh VM2146"},
		{[]string{"compare", demoLog, ""}, "Thornquay T-385"},
		{[]string{"drift", demoLog, "--maker", ""}, "Lowmere"},
		{[]string{"drift", demoLog, "--measure", ""}, "can_gauge"},
		{[]string{"trend", demoLog, "--response", ""}, "media_area"},
		{[]string{"trend", demoLog, "--scale", ""}, "linear"},
		{[]string{"report", demoLog, "--format", ""}, "svg"},
		{[]string{"check", demoLog, "--accept", ""}, "decimal"},
		{[]string{"rep"}, "report"},
	} {
		r := call("", append([]string{"__complete"}, c.args...)...)
		want(t, r, 0)
		if !strings.Contains(r.stdout, c.has) {
			t.Errorf("%v offers %q, not %q", c.args, r.stdout, c.has)
		}
	}
	r := call("", "__complete", "price", "nowhere.csv", "--part", "")
	want(t, r, 0)
	if lines := strings.Split(strings.TrimSpace(r.stdout), "\n"); len(lines) != 1 { // the directive alone
		t.Errorf("a log that is not there offers %q", lines)
	}
}

func TestCompletionScripts(t *testing.T) {
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		r := call("", "completion", shell)
		want(t, r, 0)
		if !strings.Contains(r.stdout, "pleatstat") {
			t.Errorf("%s: %q", shell, r.stdout)
		}
	}
}

func TestManualPages(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "man1")
	want(t, call("", "man", "--out", dir), 0)
	for _, name := range []string{"pleatstat.1", "pleatstat-report.1", "pleatstat-price.1"} {
		page, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(strings.TrimSpace(strings.TrimPrefix(string(page), `.nh`)), ".TH") || !strings.Contains(string(page), "pleatstat") {
			t.Errorf("%s is no manual page: %.80q", name, page)
		}
	}
	before := strings.Join(files(t, dir), " ")
	want(t, call("", "man", "--out", dir), 0)
	if after := strings.Join(files(t, dir), " "); after != before {
		t.Errorf("a second run leaves %s", after)
	}
}
