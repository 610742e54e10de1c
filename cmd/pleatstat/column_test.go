package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const ownSheet = "brand,tag,wall (thou),slipway,pleats\nSkerrow,SK-1,18,quay,51\nSkerrow,SK-2,17,quay,52\nThornquay,TQ-1,22,slip,60\n"

// A log whose part number has a header of its own is refused with the remedy, and read
// once --column or the settings name that header.
func TestAHeaderOfOnesOwn(t *testing.T) {
	path := logFile(t, ownSheet)
	r := call("", "report", path)
	want(t, r, exitFailed)
	if says := "Is the part 'tag'? Say --column part='tag', or write it once into the settings"; !strings.Contains(r.stderr, says) {
		t.Errorf("standard error %q does not say %q", r.stderr, says)
	}
	r = call("", "report", path, "--column", "part=TAG")
	want(t, r, exitDone)
	wantOutput(t, r, "Columns read: maker ('brand'), part ('tag'), can gauge ('wall (thou)'), pleats. Not used: 'slipway'.")
	for _, command := range []string{"check", "drift", "price", "roundup"} {
		if r := call("", command, path, "--column", "part=tag"); strings.HasPrefix(r.stderr, "pleatstat: "+path) {
			t.Errorf("%s: %s", command, r.stderr)
		}
	}

	settings := filepath.Join(t.TempDir(), "config.json")
	if err := os.WriteFile(settings, []byte(`{"columns": {"part": "tag", "opened": "on a day"}}`), 0o600); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PLEATSTAT_CONFIG", settings)
	r = call("", "trend", path, "--of", "can_gauge", "--on", "pleats")
	want(t, r, exitDone)
	if !strings.HasPrefix(r.stdout, "Columns read: maker ('brand'), part ('tag')") {
		t.Errorf("the text begins %.80q", r.stdout)
	}
	r = call("", "report", path, "--column", "part=slipway", "--json")
	want(t, r, exitDone)
	for _, says := range []string{`"column": "part",`, `"header": "slipway",`, `"not_used": [`, `"header": "tag",`} {
		if !strings.Contains(r.stdout, says) {
			t.Errorf("the JSON does not say %s", says)
		}
	}
}

func TestWrongColumnChoices(t *testing.T) {
	path := logFile(t, ownSheet)
	for choice, says := range map[string]string{
		"part":        `--column "part": want NAME=HEADER, for example part='model no'`,
		"part=":       `want NAME=HEADER`,
		"part=tags":   `there is no header "tags"; did you mean "tag"?`,
		"prat=tag":    `there is no column "prat"; did you mean "part"?`,
		"part=number": `it has brand, tag, wall (thou), slipway, pleats`,
	} {
		r := call("", "report", path, "--column", choice)
		if r.code == exitDone || !strings.Contains(r.stderr, says) || r.stdout != "" {
			t.Errorf("%s: exit %d, %q does not say %q", choice, r.code, r.stderr, says)
		}
	}
}

// The JSON of every command that reads a log states which header was read as which
// column.
func TestEveryJSONSaysWhatWasRead(t *testing.T) {
	for _, args := range [][]string{
		{"trend", demoLog, "--of", "can_gauge", "--on", "can_mass"},
		{"price", demoLog},
		{"price", demoLog, "--part", "Veldmarsh VM2146"},
		{"compare", demoLog, "Lowmere L4075", "Wexcombe W 610"},
		{"drift", demoLog, "--measure", "can_gauge"},
		{"roundup", demoLog},
		{"latest", demoLog},
		{"show", demoLog, "L4135"},
		{"show", demoLog, "Lowmere"},
	} {
		t.Run(strings.Join(args[:1], " "), func(t *testing.T) {
			r := call("", append(args, "--json")...)
			want(t, r, exitDone)
			var got struct {
				Log struct {
					Rows int
					Read []struct{ Column, Header string } `json:"columns_read"`
				}
			}
			if err := json.Unmarshal([]byte(r.stdout), &got); err != nil {
				t.Fatal(err)
			}
			if got.Log.Rows == 0 || len(got.Log.Read) < 10 || got.Log.Read[0].Column == "" {
				t.Errorf("the log is told as %+v", got.Log)
			}
		})
	}
}

// The columns of a trend are found by any name that a header may have, and with the
// earlier names of the flags too; a name with two meanings is an error.
func TestAnyNameOfAColumn(t *testing.T) {
	byName := call("", "trend", demoLog, "--of", "can_gauge", "--on", "can_mass")
	want(t, byName, exitDone)
	for _, args := range [][]string{
		{"--of", "can wall", "--on", "weight of can"}, {"--response", "can_gauge", "--predictor", "can_mass"}, {"--of=Can Gauge", "--predictor=can mass (g)"},
	} {
		if r := call("", append([]string{"trend", demoLog}, args...)...); r.code != exitDone || r.stdout != byName.stdout {
			t.Errorf("%v: exit %d, %s%s", args, r.code, r.stdout, r.stderr)
		}
	}
	for typed, says := range map[string]string{
		"can gague": "did you mean can_gauge?",
		"pleets":    "did you mean pleats?",
		"thickness": "may mean",
		"can mass":  "both can_mass; a line needs two columns",
		"day":       "opened is a date",
	} {
		r := call("", "trend", demoLog, "--of", typed, "--on", "weight of can")
		if r.code == exitDone || !strings.Contains(r.stderr, says) {
			t.Errorf("%q: exit %d, %q does not say %q", typed, r.code, r.stderr, says)
		}
	}
}
