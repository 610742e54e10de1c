package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The cautions, word for word.
const (
	sayBuild  = "It does not measure how well it filters, how long it lasts or what pressure it holds."
	sayPrices = "It does not say why the price is what it is."
	sayFit    = "For what fits your engine, follow the equipment maker's specification."
	sayAlike  = "Alike is not interchangeable: thread, gasket, bypass and drain-back valve must be those of the equipment's specification."
	sayWhose  = "A log can't tell a redesign from another supplier or plant."
	sayAlone  = "Shows how filters are built, not how well they filter or what fits an engine"
	sayBefore = "Before cutting: let the filter drain, wear gloves and eye protection, mind the edges of cut sheet metal, which are sharp, and make no sparks near oily media"
)

// Every caution is where it is needed, once, and nowhere else.
func TestEachCautionStandsOnceInItsPlace(t *testing.T) {
	all := []string{sayBuild, sayPrices, sayFit, sayAlike, sayWhose, sayBefore}
	for _, c := range []struct {
		args []string
		said []string
		then map[string]string // the caution comes between these two texts
	}{
		{[]string{"columns"}, []string{sayBefore}, map[string]string{sayBefore: "- opened (date)"}},
		{[]string{"report", demoLog}, []string{sayBuild, sayPrices, sayFit, sayWhose}, map[string]string{sayWhose: "Below what the contents usually cost"}},
		{[]string{"drift", demoLog}, []string{sayBuild, sayFit, sayWhose}, map[string]string{sayWhose: "What else was followed"}},
		{[]string{"price", demoLog}, []string{sayBuild, sayPrices, sayFit}, nil},
		{[]string{"price", demoLog, "--part", "Veldmarsh VM2146"}, []string{sayBuild, sayPrices, sayFit, sayAlike}, map[string]string{sayAlike: "The caution"}},
		{[]string{"roundup", demoLog}, []string{sayBuild, sayPrices, sayFit, sayWhose}, map[string]string{sayWhose: "The caution"}},
		{[]string{"compare", demoLog, "Veldmarsh VM2146", "Skerrow SK 1255"}, []string{sayBuild, sayPrices, sayFit}, nil},
	} {
		r := call("", c.args...)
		want(t, r, exitDone)
		text := spoken(r.stdout)
		name := strings.Join(c.args, " ")
		for _, caution := range all {
			needed := 0
			for _, said := range c.said {
				if said == caution {
					needed = 1
				}
			}
			if n := strings.Count(text, caution); n != needed {
				t.Errorf("%s: %q stands %d times, want %d", name, caution, n, needed)
			}
		}
		for caution, next := range c.then {
			_, after, _ := strings.Cut(text, caution)
			if !strings.Contains(after, next) {
				t.Errorf("%s: %q does not stand before %q", name, caution, next)
			}
		}
	}
}

// The nearest by contents are shown with thread and valves, those with the part's
// own thread first.
func TestTheNearestShowWhatMustFit(t *testing.T) {
	r := call("", "price", demoLog, "--part", "Veldmarsh VM2146")
	want(t, r, exitDone)
	_, list, _ := strings.Cut(spoken(r.stdout), "The nearest by contents")
	list, _, _ = strings.Cut(list, sayAlike)
	if n := strings.Count(list, "; thread "); n != 5 || !strings.Contains(list, "Its own: thread M18x1.5") || !strings.Contains(list, "None of these has its thread.") {
		t.Errorf("thread shown %d times, want 5, and that none has its own:\n%s", n, list)
	}
	r = call("", "price", demoLog, "--part", "Skerrow SK 1255")
	want(t, r, exitDone)
	_, list, _ = strings.Cut(spoken(r.stdout), "The nearest by contents")
	list, _, _ = strings.Cut(list, sayAlike)
	_, own, _ := strings.Cut(list, "Its own: thread ")
	own, _, _ = strings.Cut(own, ",")
	other := false
	for _, item := range strings.Split(list, " - ")[1:] {
		same := strings.Contains(item, "thread "+own+",")
		if same && other {
			t.Errorf("a part with its thread, %s, stands behind one with another:\n%s", own, list)
		}
		other = other || !same
	}
}

// A chart drawn on its own states what it shows; the charts of a folder have a text
// beside them.
func TestTheFootOfAChartThatStandsAlone(t *testing.T) {
	dir := t.TempDir()
	for name, args := range map[string][]string{
		"price":   {"price", demoLog},
		"drift":   {"drift", demoLog, "--measure", "can_gauge"},
		"trend":   {"trend", demoLog, "--response", "price", "--predictor", "media_area"},
		"compare": {"compare", demoLog, "Veldmarsh VM2146", "Skerrow SK 1255"},
	} {
		file := filepath.Join(dir, name+".svg")
		want(t, call("", append(args, "--plot", file)...), exitDone)
		if n := strings.Count(fileText(t, file), sayAlone); n != 1 {
			t.Errorf("%s: the foot stands %d times", name, n)
		}
	}
	want(t, call("", "drift", demoLog, "--measure", "can_gauge", "--out", dir, "--format", "svg"), exitDone)
	if strings.Contains(fileText(t, filepath.Join(dir, "drift-can_gauge.svg")), sayAlone) {
		t.Error("a chart of a folder has the foot as well")
	}
}

func fileText(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
