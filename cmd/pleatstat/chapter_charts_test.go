package main

import (
	"bytes"
	"math/rand/v2"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/dataset"
)

// The chart of a ranking and that of the makers by the same measure have names with the
// same ending; each belongs in its own chapter of the page.
func TestChartsStandInTheirOwnChapter(t *testing.T) {
	log, err := sim.NewFilterLog(sim.FilterOptions{Makers: 8, Parts: 2, Openings: 120, Blanks: 0.1,
		Changes: []sim.Change{{Measure: "can_gauge", Step: -0.25}}}, rand.New(rand.NewPCG(6, 6)))
	if err != nil {
		t.Fatal(err)
	}
	var text bytes.Buffer
	if err := dataset.WriteNormalised(&text, log.Log); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	want(t, call(text.String(), "roundup", "-", "--out", dir, "--html", "--size", "480x270"), exitDone)
	if drawn, _ := filepath.Glob(filepath.Join(dir, "*-makers-can-gauge.png")); len(drawn) != 1 {
		t.Fatalf("the makers' cans are not drawn: %v", files(t, dir))
	}
	page := fileText(t, filepath.Join(dir, "page.html"))
	for _, id := range []string{"can-gauge", "makers"} {
		chapter := regexp.MustCompile(`(?s)<section id="` + id + `".*?</section>`).FindString(page)
		if n := strings.Count(chapter, "<figure"); n != 1 {
			t.Errorf("the chapter %s has %d charts, want its own alone", id, n)
		}
	}
}
