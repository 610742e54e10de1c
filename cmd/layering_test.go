package cmd

import (
	"bytes"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

const module = "pleatstat"

// layer is a group of the module's packages, with the layers they may import.
type layer struct {
	name  string
	holds func(path string) bool
	below []string // names of layers it may import
}

var layers = []layer{
	{"dataset", within("dataset"), []string{"dataset"}}, // the internal packages too
	{"numerics", numerics, nil},                         // package by package: see rooms
	{"analysis", within("stats"), []string{"analysis", "numerics", "dataset"}},
	{"plots", within("plots"), []string{"plots", "analysis", "numerics", "dataset"}},
	// Only these packages of the command draw: they put charts and pages together.
	{"pictures", pictures, []string{"pictures", "rendering", "plots", "analysis", "numerics", "dataset"}},
	{"rendering", within("cmd/pleatstat/internal"), []string{"rendering", "analysis", "numerics", "dataset"}},
	// The tool itself never imports the simulator; its tests may.
	{"simulator", within("cmd/calibrate/sim"), []string{"numerics", "dataset"}},
	{"harness", within("cmd/calibrate"), []string{"harness", "simulator", "analysis", "numerics", "dataset"}},
	{"commands", within("cmd"), []string{"pictures", "rendering", "plots", "analysis", "numerics", "dataset"}},
}

// rooms lists the packages below dataset and those of the numerics, each with the
// packages of this module that it may import.
var rooms = map[string][]string{
	"dataset/internal/units":     {},
	"dataset/internal/cellparse": {},
	"dataset/internal/problem":   {},
	"dataset/internal/sheet":     {"dataset/internal/cellparse"},
	"dataset/internal/datecode":  {"dataset/internal/cellparse"},
	"dataset/catalogue":          {"dataset/internal/units"},
	"dataset/internal/cells":     {"dataset/catalogue", "dataset/internal/units"},
	"dataset/internal/spelling":  {"dataset/internal/cells", "dataset/internal/problem"},
	"dataset/internal/header":    {"dataset/catalogue", "dataset/internal/cellparse", "dataset/internal/spelling", "dataset/internal/units"},
	"dataset/internal/layout": {"dataset/catalogue", "dataset/internal/cellparse", "dataset/internal/header", "dataset/internal/problem",
		"dataset/internal/sheet", "dataset/internal/spelling", "dataset/internal/units"},
	"dataset/internal/reader": {"dataset/catalogue", "dataset/internal/cellparse", "dataset/internal/cells", "dataset/internal/header",
		"dataset/internal/layout", "dataset/internal/problem", "dataset/internal/sheet", "dataset/internal/units"},

	"stats/num":        {},
	"stats/linear":     {"stats/num"},
	"stats/robust":     {"stats/num", "stats/linear"},
	"stats/outlier":    {"stats/num", "stats/linear", "stats/robust"},
	"stats/rank":       {"stats/num"},
	"stats/panel":      {"stats/num", "stats/rank", "stats/robust"},
	"stats/imputation": {},
	"stats/hedonic":    {"stats/num", "stats/linear", "stats/robust", "stats/outlier"},
	"stats/market":     {"stats/num", "stats/linear"},
	"stats/pool":       {"stats/num"},
	"stats/standings":  {"stats/num"},
	"stats/experiment": {"stats/num"},
	// Helpers shared by the tests of the numerics.
	"stats/internal/testhelp": {},
}

// drawing lists the packages below plots, each with the packages of this module that
// it may import. Package plots itself may import all of these and the analyses.
var drawing = map[string][]string{
	"plots/canvas": {},
	"plots/labels": {},
	"plots/words":  {"dataset", "dataset/catalogue"},
	"plots/page":   {"plots/canvas", "plots/labels", "plots/words"},
	"plots/panels": {"plots/labels", "plots/page", "plots/words", "stats/drift"},
}

// analyses are the packages that answer a question about a log.
var analyses = []string{
	"stats/check", "stats/slip", "stats/dates", "stats/changepoint", "stats/correct", "stats/compare", "stats/drift", "stats/price",
	"stats/report", "stats/roundup", "stats/trend", "stats/coverage", "stats/card", "stats/latest",
}

const rendering = "cmd/pleatstat/internal/render/"

// texts lists the packages that put results into words, each with those of the
// command's packages that it may import.
var texts = map[string][]string{
	"wording":    {},
	"encode":     {"wording"},
	"logs":       {"wording", "encode"},
	"prices":     {"wording", "encode"},
	"changes":    {"wording", "encode"},
	"trends":     {"wording", "encode", "prices"},
	"comparison": {"wording", "encode", "prices", "changes"},
	"findings":   {"wording", "encode", "logs", "prices", "changes", "trends"},
	"programme":  {"wording", "encode", "logs", "prices", "changes"},
	"cards":      {"wording", "encode", "logs", "prices", "changes", "trends", "programme"},
}

func numerics(path string) bool { return path == "stats" || rooms[path] != nil }

func pictures(path string) bool {
	return path == "cmd/pleatstat/internal/charts" || path == "cmd/pleatstat/internal/pages"
}

func within(folder string) func(string) bool {
	return func(p string) bool { return p == folder || strings.HasPrefix(p, folder+"/") }
}

func layerOf(path string) *layer {
	for i := range layers {
		if layers[i].holds(path) {
			return &layers[i]
		}
	}
	return nil
}

// imports lists what each package of the module imports, without the imports of its
// tests.
func imports(t *testing.T) map[string][]string {
	t.Helper()
	list := exec.Command("go", "list", "-f", `{{.ImportPath}}{{range .Imports}} {{.}}{{end}}`, "./...")
	list.Dir = ".."
	var failed bytes.Buffer
	list.Stderr = &failed
	out, err := list.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, failed.String())
	}
	all := map[string][]string{}
	for line := range strings.Lines(string(out)) {
		fields := strings.Fields(line)
		all[strings.TrimPrefix(fields[0], module+"/")] = fields[1:]
	}
	return all
}

func TestImportsPointDownward(t *testing.T) {
	all := imports(t)
	if len(all) < 5 {
		t.Fatalf("found only %d packages", len(all))
	}
	for path, imported := range all {
		from := layerOf(path)
		if from == nil {
			t.Errorf("%s belongs to no layer", path)
			continue
		}
		for _, other := range imported {
			inside, ours := strings.CutPrefix(other, module+"/")
			if !ours {
				continue
			}
			to := layerOf(inside)
			room := rooms[path]
			if room == nil {
				room = drawing[path]
			}
			if room != nil {
				if !slices.Contains(room, inside) {
					t.Errorf("%s imports %s", path, inside)
				}
				continue
			}
			if to == nil || !slices.Contains(from.below, to.name) {
				t.Errorf("%s (%s) imports %s", path, from.name, inside)
			}
			if text, is := strings.CutPrefix(path, rendering); is && within("cmd")(inside) &&
				!slices.Contains(texts[text], strings.TrimPrefix(inside, rendering)) {
				t.Errorf("%s imports %s", path, inside)
			}
		}
	}
}

// Every package of dataset, stats and plots, and every one that puts results into
// words, must be listed above with what it may import.
func TestEveryRoomIsListed(t *testing.T) {
	for path := range imports(t) {
		if text, is := strings.CutPrefix(path, rendering); is && texts[text] == nil {
			t.Errorf("%s is listed nowhere", path)
		}
		if (strings.HasPrefix(path, "dataset/") || strings.HasPrefix(path, "stats/")) && rooms[path] == nil && !slices.Contains(analyses, path) {
			t.Errorf("%s is listed in no layer", path)
		}
		if strings.HasPrefix(path, "plots/") && drawing[path] == nil {
			t.Errorf("%s is not listed among the packages of the charts", path)
		}
	}
}

// Outside the commands and their packages only dataset may touch files: it opens the
// log it is given.
func TestOnlyCommandsTouchFiles(t *testing.T) {
	for path, imported := range imports(t) {
		from := layerOf(path)
		if from == nil || path == "stats/internal/testhelp" || slices.Contains([]string{"commands", "harness", "pictures", "rendering", "dataset"}, from.name) {
			continue
		}
		for _, other := range []string{"os", "os/exec", "net", "net/http", "log"} {
			if slices.Contains(imported, other) {
				t.Errorf("%s imports %s", path, other)
			}
		}
	}
}
