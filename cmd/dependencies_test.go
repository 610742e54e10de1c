package cmd

import (
	"encoding/json"
	"os/exec"
	"slices"
	"testing"
)

// reasons gives, for each direct dependency, what it is used for.
var reasons = map[string]string{
	"codeberg.org/go-pdf/fpdf":      "charts as PDF with embedded fonts",
	"git.sr.ht/~sbinet/gg":          "lines of PNG charts; gonum/plot draws with it, it brings golang/freetype",
	"github.com/go-gota/gota":       "--where filters the log as a data frame; tables are written as CSV",
	"github.com/google/go-cmp":      "tests: what differs between two results",
	"github.com/ledongthuc/pdf":     "tests: a reader of PDF that is not the writer",
	"github.com/mattn/go-runewidth": "columns of text under each other whatever the script",
	"github.com/spf13/cobra":        "commands, help, completion, manual pages",
	"github.com/spf13/pflag":        "flags; cobra's own, named for its error types",
	"github.com/xuri/excelize/v2":   "logs kept as .xlsx",
	"golang.org/x/image":            "fonts and fills of PNG charts",
	"golang.org/x/sync":             "charts drawn on all cores, with the first error kept",
	"golang.org/x/term":             "whether there is a terminal to colour for",
	"golang.org/x/text":             "logs in UTF-16 and Windows code pages",
	"gonum.org/v1/gonum":            "linear algebra, distributions, optimisation",
	"gonum.org/v1/plot":             "charts",
}

// Every direct dependency has a reason, and every reason belongs to a dependency that
// is still used.
func TestEveryDependencyHasItsReason(t *testing.T) {
	list := exec.Command("go", "mod", "edit", "-json")
	list.Dir = ".."
	out, err := list.Output()
	if err != nil {
		t.Fatal(err)
	}
	var mod struct {
		Require []struct {
			Path     string
			Indirect bool
		}
	}
	if err := json.Unmarshal(out, &mod); err != nil {
		t.Fatal(err)
	}
	var direct []string
	for _, r := range mod.Require {
		if r.Indirect {
			continue
		}
		direct = append(direct, r.Path)
		if reasons[r.Path] == "" {
			t.Errorf("%s: no reason given", r.Path)
		}
	}
	for path := range reasons {
		if !slices.Contains(direct, path) {
			t.Errorf("%s: a reason, but it is no direct dependency", path)
		}
	}
	// No longer maintained; each has a replacement in the list above.
	for _, gone := range []string{"github.com/golang/freetype", "rsc.io/pdf"} {
		if slices.Contains(direct, gone) {
			t.Errorf("%s is used again", gone)
		}
	}
}
