package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Shell completion offers names from the log.
func TestCompletionFromTheLog(t *testing.T) {
	for _, c := range []struct {
		args []string
		has  string
	}{
		{[]string{"price", demoLog, "--part", ""}, "Veldmarsh VM2146"},
		{[]string{"compare", demoLog, ""}, "Thornquay T-385"},
		{[]string{"show", demoLog, ""}, "Thornquay T-385"},
		{[]string{"show", demoLog, "Low"}, "Lowmere"},
		{[]string{"compare", demoLog, "Lowmere", "Sk"}, "Skerrow\n"},
		{[]string{"drift", demoLog, "--maker", ""}, "Lowmere"},
		{[]string{"drift", demoLog, "--measure", ""}, "can_gauge"},
		{[]string{"trend", demoLog, "--of", ""}, "media_area"},
		{[]string{"trend", demoLog, "--scale", ""}, "linear"},
		{[]string{"report", demoLog, "--format", ""}, "svg"},
		{[]string{"check", demoLog, "--accept", ""}, "decimal"},
		{[]string{"rep"}, "report"},
		{[]string{"help", ""}, "roundup"},
		{[]string{"completion", ""}, "fish"},
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

// Without a log on the line, completion reads the log of the settings; a log on the line
// takes precedence.
func TestCompletionFromTheLogOfTheSettings(t *testing.T) {
	offers := func(args ...string) string {
		t.Helper()
		r := call("", append([]string{"__complete"}, args...)...)
		want(t, r, 0)
		return r.stdout
	}
	const part = "Veldmarsh VM2146"
	t.Setenv("PLEATSTAT_CONFIG", "")
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	if got := offers("price", "--part", ""); strings.Contains(got, part) {
		t.Errorf("no log is named anywhere, and it offers %q", got)
	}
	log, err := filepath.Abs(demoLog)
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "config.json")
	text, err := json.Marshal(map[string]string{"log": log})
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, text, 0o666); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PLEATSTAT_CONFIG", file)
	if got := offers("price", "--part", ""); !strings.Contains(got, part) {
		t.Errorf("the log of the settings file is not read: %q", got)
	}
	if got := offers("price", logFile(t, soundText), "--part", ""); strings.Contains(got, part) || !strings.Contains(got, "Skerrow SK-1") {
		t.Errorf("the log of the line does not go first: %q", got)
	}
	if got := offers("compare", "T-385", ""); !strings.Contains(got, part) {
		t.Errorf("compare does not offer the parts of the settings' log: %q", got)
	}
	t.Setenv("PLEATSTAT_LOG", logFile(t, soundText))
	if got := offers("drift", "--maker", ""); strings.Contains(got, "Veldmarsh") || !strings.Contains(got, "Thornquay") {
		t.Errorf("the log of the environment does not go before the file's: %q", got)
	}
	if err := os.WriteFile(file, []byte("{"), 0o666); err != nil {
		t.Fatal(err)
	}
	if got := offers("drift", "--maker", ""); strings.TrimSpace(got) != ":4" { // cobra's code for "nothing, and no files either"
		t.Errorf("with settings that cannot be read it offers %q", got)
	}
}

func TestCompletionScripts(t *testing.T) {
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		r := call("", "completion", shell)
		want(t, r, 0)
		if !strings.Contains(r.stdout, " __complete ") {
			t.Errorf("%s: the script does not ask pleatstat: %.300q", shell, r.stdout)
		}
		plain := call("", "completion", shell, "--no-descriptions")
		want(t, plain, 0)
		if !strings.Contains(plain.stdout, " __completeNoDesc ") {
			t.Errorf("%s: the script without descriptions asks for them: %.300q", shell, plain.stdout)
		}
		if help := call("", "completion", "--help"); !strings.Contains(help.stdout, "pleatstat completion "+shell) {
			t.Errorf("the help does not say how to load the script for %s", shell)
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
