package main

import (
	"regexp"
	"strings"
	"testing"
)

// notSpoken matches statistical terms that belong in the lines of evidence.
var notSpoken = regexp.MustCompile(`(?i)\b([pq] ?=|[pq] below|confidence|range|standard deviation|variance|residuals?|predictors?|response|the line|logarithm|ln|witness|regression|least squares)\b`)

// inBrackets matches a line of evidence, indented by four columns.
var inBrackets = regexp.MustCompile(`(?m)^    \[(?:[^\n]|\n    )*?\]$\n`)

// canBeReadAloud checks that the text outside the lines of evidence is free of
// statistical terms.
func canBeReadAloud(t *testing.T, text string) {
	t.Helper()
	said := inBrackets.ReplaceAllString(text, "")
	if strings.Contains(said, "    [") {
		t.Errorf("the lines of evidence were not told from the spoken ones:\n%s", said)
	}
	for _, line := range strings.Split(said, "\n") {
		if word := notSpoken.FindString(line); word != "" {
			t.Errorf("a spoken line says %q: %s", word, line)
		}
	}
}

// Everything written about the demo log can be read aloud.
func TestEveryCommandCanBeReadAloud(t *testing.T) {
	for _, c := range []struct {
		args []string
		most int // words, evidence included; 0 = it has tables
	}{
		{[]string{"roundup"}, 700}, {[]string{"roundup", "--year", "2019"}, 700},
		{[]string{"drift"}, 300}, {[]string{"drift", "--maker", "Skerrow"}, 300},
		{[]string{"latest"}, 220}, {[]string{"latest", "--since", "2026"}, 0}, {[]string{"show", "VM2146"}, 0}, {[]string{"show", "PB-118", "--brief"}, 110},
		{[]string{"show", "Lowmere"}, 0}, {[]string{"price"}, 0}, {[]string{"price", "--part", "VM2146"}, 0}, {[]string{"price", "--part", "W 610"}, 0},
		{[]string{"price", "--what-if", "price=8.99,media_area=350cm²,drain_back=silicone"}, 0},
		{[]string{"check"}, 0}, {[]string{"start"}, 0}, {[]string{"trend", "--response", "price", "--predictor", "media_area"}, 0},
	} {
		r := call("", append([]string{c.args[0], demoLog}, c.args[1:]...)...)
		if r.stdout == "" {
			t.Fatalf("%v says nothing: %s", c.args, r.stderr)
		}
		t.Run(strings.Join(c.args, " "), func(t *testing.T) { canBeReadAloud(t, r.stdout) })
		if n := len(strings.Fields(r.stdout)); c.most > 0 && n > c.most {
			t.Errorf("%v has %d words, more than %d", c.args, n, c.most)
		}
	}
}

func TestTheFindingsCanBeReadAloud(t *testing.T) {
	r := call("", "report", demoLog)
	want(t, r, exitDone)
	if n := len(strings.Fields(r.stdout)); n > 900 {
		t.Errorf("the findings have %d words, evidence included; at most 900 are listened to", n)
	}
	said := inBrackets.ReplaceAllString(r.stdout, "")
	if evidence := len(r.stdout) - len(said); evidence < 1000 || strings.Contains(said, "    [") {
		t.Fatalf("the lines of evidence were not told from the spoken ones (%d bytes):\n%s", evidence, said)
	}
	canBeReadAloud(t, r.stdout)
	short, rest, _ := strings.Cut(said, "\n\n")
	if n := strings.Count(short, "\n- "); !strings.HasPrefix(short, "In short\n") || n < 3 || n > 7 {
		t.Errorf("the short form has %d lines:\n%s", n, short)
	}
	if where := regexp.MustCompile(`\blines? \d`).FindString(rest); where != "" {
		t.Errorf("a spoken line names %q of the log", where)
	}
	wantOutput(t, r,
		"Lowmere's cans get thinner: 0.04 mm lost since February 2022.",
		"Around November 2023 Pellbrook's filters lost five pleats (PB-",
		"Clearly below what their contents usually cost: Brackhollow BH-124",
		"follow the equipment maker's specification",
	)
	if n := strings.Count(spoken(r.stdout), "A log can't tell a redesign from another supplier or plant."); n != 1 {
		t.Errorf("the caution about changes stands %d times", n)
	}
}

// The terminal shows the beginning of the findings.
func TestTheTerminalBeginsAsTheFindingsDo(t *testing.T) {
	whole := call("", "report", demoLog)
	head := call("", "report", demoLog, "--no-plots", "--out", t.TempDir())
	want(t, head, exitDone)
	first := func(text string) string { s, _, _ := strings.Cut(text, "\n\n"); return s }
	if first(head.stdout) != first(whole.stdout) {
		t.Errorf("the terminal:\n%s\nthe findings:\n%s", first(head.stdout), first(whole.stdout))
	}
}

// Tests, the other lines and what was left out are in the text with --detail.
func TestTheDetailIsToldWhereAskedFor(t *testing.T) {
	plain, detail := call("", "report", demoLog), call("", "report", demoLog, "--detail")
	want(t, detail, exitDone)
	for _, says := range []string{"plain least squares on all of them", "q below 0.0001", "the witness agrees, p", "openings left out: 49 no media area", "by everything inside q"} {
		if !strings.Contains(spoken(detail.stdout), says) {
			t.Errorf("the detail does not say %q", says)
		}
		if strings.Contains(spoken(plain.stdout), says) {
			t.Errorf("%q is said unasked", says)
		}
	}
}

// What could not be judged is never reported as not found.
func TestNothingJudgedIsNeverNone(t *testing.T) {
	r := call("opened,maker,part,price,can_gauge_mm\n2019-01,Skerrow,SK-1,8.99,0.40\n", "report", "-")
	want(t, r, exitDone)
	wantOutput(t, r, "Prices could not be judged: 0 filters have a price and a media area, 8 are needed.", "Changes over the years could not be judged")
	if strings.Contains(spoken(r.stdout), "not found: parts") {
		t.Errorf("what was not judged is told as none:\n%s", r.stdout)
	}
}
