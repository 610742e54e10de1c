package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"pleatstat/cmd/pleatstat/internal/console"
)

// demoLog is the log of the invented harbour workshop.
const demoLog = "../../testdata/demo/harbour.csv"

// result is what one call wrote and its exit code.
type result struct {
	code           int
	stdout, stderr string
}

func call(stdin string, args ...string) result {
	var out, err bytes.Buffer
	code := run(args, strings.NewReader(stdin), &out, &err)
	return result{code, out.String(), err.String()}
}

func want(t *testing.T, r result, code int) {
	t.Helper()
	if r.code != code {
		t.Fatalf("exit code %d, want %d\nstdout: %s\nstderr: %s", r.code, code, r.stdout, r.stderr)
	}
}

// logFile writes a log into a folder of its own.
func logFile(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "log.csv")
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

const soundText = `opened,maker,part,price,media_length_in,element_width_in,can_gauge_mm,can_mass_g
2024-03-08,Skerrow,SK-1,$8.99,43.2,1.62,0.44,61.5
2024-03-09,Thornquay,TQ-2,$9.99,62.8,1.44,0.46,64.0
`

func TestExitCodes(t *testing.T) {
	sound := logFile(t, soundText)
	slips := logFile(t, strings.Replace(soundText, "43.2", "thirty", 1))
	for _, c := range []struct {
		name string
		args []string
		code int
		says string // in standard error
	}{
		{"nothing asked", nil, 0, ""},
		{"help", []string{"--help"}, 0, ""},
		{"version", []string{"--version"}, 0, ""},
		{"columns", []string{"columns"}, 0, ""},
		{"a sound log", []string{"check", sound}, 0, ""},
		{"a log with slips", []string{"check", slips}, 3, "doubtful"},
		{"a report on it", []string{"report", slips}, 0, ""},
		{"a strict report on it", []string{"report", slips, "--strict"}, 3, "doubtful"},
		{"a column in other letters", []string{"trend", demoLog, "--of", "Price", "--on", "media area"}, 0, ""},
		{"a column by another name", []string{"trend", demoLog, "--response", "can wall", "--predictor", "weight of can"}, 0, ""},
		{"too little for a line", []string{"trend", sound, "--of", "price", "--on", "media_area"}, 0, ""},
		{"no such file", []string{"report", "nowhere.csv"}, 1, "nowhere.csv"},
		{"a folder", []string{"report", "."}, 1, "."},
		{"an empty log", []string{"report", os.DevNull}, 1, "empty"},
		{"unknown column", []string{"trend", sound, "--of", "prcie", "--on", "media_area"}, 1, "did you mean price"},
		{"a column of words", []string{"trend", sound, "--of", "maker", "--on", "media_area"}, 1, "maker"},
		{"unknown maker", []string{"drift", sound, "--maker", "Skerow"}, 1, "did you mean Skerrow"},
		{"unknown command", []string{"repot"}, 2, "did you mean report"},
		{"far from any command", []string{"xyzzy"}, 2, "there are check"},
		{"help about no command", []string{"help", "repot"}, 2, "did you mean report"},
		{"help about two commands", []string{"help", "report", "check"}, 2, "one too many"},
		{"completion for no shell", []string{"completion"}, 2, "bash, zsh, fish, powershell"},
		{"completion for another shell", []string{"completion", "tcsh"}, 2, "bash, zsh, fish, powershell"},
		{"completion for two shells", []string{"completion", "bash", "zsh"}, 2, "one too many"},
		{"a file instead of a command", []string{sound}, 2, "pleatstat report"},
		{"no log", []string{"report"}, 2, "needs a log"},
		{"two logs", []string{"report", sound, slips}, 2, "one too many"},
		{"unknown flag", []string{"report", sound, "--formt", "png"}, 2, "did you mean --format"},
		{"unknown short flag", []string{"report", sound, "-z"}, 2, "-z"},
		{"wrong format", []string{"report", sound, "--format", "bmp"}, 2, "png, svg, pdf"},
		{"wrong theme", []string{"report", sound, "--theme", "blue"}, 2, "light, dark"},
		{"wrong size", []string{"report", sound, "--size", "big"}, 2, "1920x1080"},
		{"wrong units", []string{"report", sound, "--units", "imperial"}, 2, "metric, us"},
		{"wrong per", []string{"report", sound, "--per", "maker"}, 2, "product, opening"},
		{"wrong seed", []string{"report", sound, "--seed", "x"}, 2, "seed"},
		{"wrong scale", []string{"trend", sound, "--of", "price", "--on", "pleats", "--scale", "cubic"}, 2, "log, linear"},
		{"no response", []string{"trend", sound}, 2, "--of"},
		{"wrong chart file", []string{"trend", sound, "--of", "price", "--on", "pleats", "--plot", "x.gif"}, 2, ".png, .svg, .pdf"},
		{"too few prices", []string{"price", sound}, 0, ""},
		{"unknown part", []string{"price", sound, "--part", "SK-7"}, 1, "SK-1"},
		{"a part by a piece of its name", []string{"price", sound, "--part", "tq2"}, 0, ""},
		{"a name that fits two", []string{"price", demoLog, "--part", "Lowmere"}, 1, "fits"},
		{"a measure by a header's name", []string{"drift", demoLog, "--measure", "wall thickness"}, 0, ""},
		{"a measure with blanks in its name", []string{"drift", demoLog, "--measure", "Can mass per area"}, 0, ""},
		{"a part that conditions leave out", []string{"price", demoLog, "--part", "VM2146", "--where", "media_area<=115"}, 1, "conditions keep"},
		{"unknown content", []string{"price", sound, "--what-if", "prise=3"}, 2, "did you mean price"},
		{"no value", []string{"price", sound, "--what-if", "8.99"}, 2, "name=value"},
		{"a value that cannot be read", []string{"price", demoLog, "--what-if", "price=cheap,media_area=300"}, 1, "price"},
		{"all from standard input", []string{"price", "-", "--what-if", "-"}, 2, "standard input"},
		{"one part to compare", []string{"compare", sound, "SK-1"}, 2, "at least two"},
		{"six parts to compare", []string{"compare", sound, "1", "2", "3", "4", "5", "6"}, 2, "up to 5"},
		{"a part twice", []string{"compare", sound, "SK-1", "sk1"}, 1, "twice"},
		{"two parts", []string{"compare", sound, "SK-1", "TQ-2"}, 0, ""},
		{"wrong measure", []string{"drift", sound, "--measure", "can_goage"}, 2, "did you mean can_gauge"},
		{"wrong date", []string{"drift", sound, "--since", "soon"}, 2, "2024-03-08"},
		{"wrong kind of fix", []string{"check", sound, "--fixed", "x.csv", "--accept", "magic"}, 2, "unit, decimal"},
		{"kinds without a copy", []string{"check", sound, "--accept", "unit"}, 2, "--fixed"},
		{"two outputs of columns", []string{"columns", "--csv", "--json"}, 2, "choose one"},
		{"columns of a log", []string{"columns", sound}, 2, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := call("", c.args...)
			want(t, r, c.code)
			if !strings.Contains(r.stderr, c.says) {
				t.Errorf("standard error %q does not say %q", r.stderr, c.says)
			}
			if c.code == 0 && r.stderr != "" {
				t.Errorf("standard error of a call that worked: %q", r.stderr)
			}
			if c.code == 2 && !strings.Contains(r.stderr, "--help") {
				t.Errorf("standard error %q does not point to the help", r.stderr)
			}
		})
	}
}

func TestEveryCommandHasHelpWithAnExample(t *testing.T) {
	a := &app{Console: console.New(strings.NewReader(""), io.Discard, io.Discard)}
	for _, c := range a.rootCommand().Commands() {
		r := call("", c.Name(), "--help")
		want(t, r, 0)
		for _, part := range []string{"How to call it:", "Examples:", "pleatstat " + c.Name()} {
			if !strings.Contains(r.stdout, part) {
				t.Errorf("%s --help has no %q:\n%s", c.Name(), part, r.stdout)
			}
		}
	}
	whole := call("", "report", "--help")
	if r := call("", "help", "report"); r != whole {
		t.Errorf("help report says %q, report --help %q", r.stdout, whole.stdout)
	}
	if r := call("", "--version"); !strings.HasPrefix(r.stdout, "pleatstat "+version) {
		t.Errorf("--version says %q", r.stdout)
	}
}

func TestTheLogFromStandardInput(t *testing.T) {
	r := call(soundText, "report", "-", "--json")
	want(t, r, 0)
	var doc struct {
		Schema string
		Log    struct{ Rows int }
	}
	if err := json.Unmarshal([]byte(r.stdout), &doc); err != nil {
		t.Fatal(err)
	}
	if doc.Schema != "pleatstat/findings/2" || doc.Log.Rows != 2 {
		t.Errorf("got %+v", doc)
	}
}

// broken is a writer that always fails, as for a closed pipe or a full disk.
type broken struct{ err error }

func (b broken) Write([]byte) (int, error) { return 0, b.err }

func TestFailingStandardOutput(t *testing.T) {
	for _, c := range []struct {
		err   error
		quiet bool
	}{{syscall.EPIPE, true}, {syscall.ENOSPC, false}} {
		for _, args := range [][]string{
			{"report", "-"}, {"report", "-", "--json"}, {"check", "-"}, {"check", "-", "--json"}, {"--help"}, {"help", "report"}, {"report", "-h"}, {"completion", "bash"}, {"columns"}, {"columns", "--json"}, {"columns", "--csv"}, {"drift", "-"}, {"drift", "-", "--json"},
			{"trend", "-", "--of", "price", "--on", "media_area"}, {"price", "-"}, {"price", "-", "--json"},
			{"compare", "-", "SK-1", "TQ-2"}, {"compare", "-", "SK-1", "TQ-2", "--json"},
		} {
			var stderr bytes.Buffer
			code := run(args, strings.NewReader(soundText), broken{c.err}, &stderr)
			if code != exitFailed {
				t.Errorf("%v with %v: exit code %d, want 1", args, c.err, code)
			}
			if (stderr.Len() == 0) != c.quiet {
				t.Errorf("%v with %v: standard error %q", args, c.err, stderr.String())
			}
		}
	}
}

func TestAFailingReaderIsAnError(t *testing.T) {
	var stdout, stderr bytes.Buffer
	code := run([]string{"report", "-"}, io.MultiReader(strings.NewReader(soundText[:60]), failing{}), &stdout, &stderr)
	if code != exitFailed || !strings.Contains(stderr.String(), "connection lost") || stdout.Len() > 0 {
		t.Errorf("exit code %d, stdout %q, stderr %q", code, stdout.String(), stderr.String())
	}
}

type failing struct{}

func (failing) Read([]byte) (int, error) { return 0, errors.New("connection lost") }
