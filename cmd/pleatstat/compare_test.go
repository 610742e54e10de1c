package main

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"
)

func TestPartsWithNothingInCommon(t *testing.T) {
	r := call("maker,part,price,pleats\nA,a,5,\nB,b,,60\n", "compare", "-", "A", "B")
	want(t, r, exitDone)
	if !strings.Contains(r.stdout, "Nothing was recorded of all of them.") || strings.Contains(r.stdout, "≠") {
		t.Errorf("the comparison:\n%s", r.stdout)
	}
}

// A measure and its unit together name the unit once, and no limit is stated as zero.
func TestUnitsAreSaidOnce(t *testing.T) {
	r := call("", "compare", demoLog, "Lowmere L4075", "Wexcombe W 610")
	want(t, r, exitDone)
	for _, line := range []string{"price per area, £ per 10 in²  ", "price per mass, £ per 100 g  "} {
		if strings.Count(r.stdout, line) != 1 {
			t.Errorf("the table has no row %q", line)
		}
	}
	text := strings.ReplaceAll(strings.Join(strings.Fields(r.stdout), " "), "\u00a0", " ")
	if says := "The price: A costs £2.57 more, by half; prices of one part alone could make £0.37."; !strings.Contains(text, says) {
		t.Errorf("the comparison does not say %q", says)
	}
	for _, not := range []string{"100g", "£0.00"} {
		if strings.Contains(text, not) {
			t.Errorf("the comparison says %q", not)
		}
	}
	r = call("", "trend", demoLog, "--of", "price_per_100g", "--on", "total_mass")
	want(t, r, exitDone)
	if !strings.Contains(r.stdout, "\n\nPrice per mass on total mass\n") || strings.Contains(r.stdout, "100g") {
		t.Errorf("the trend begins %.60q", r.stdout)
	}
}

// unwrapped returns a text on one line.
func unwrapped(text string) string {
	return strings.ReplaceAll(strings.Join(strings.Fields(text), " "), "\u00a0", " ")
}

// A comparison has its groups in a fixed order, reports what a maker changed, and leaves
// out what check doubts.
func TestCompareWalksThroughTheGroups(t *testing.T) {
	for _, c := range []struct {
		args []string
		says []string
	}{
		{[]string{"Lowmere L4135", "Veldmarsh VM2146"}, []string{"The price: B costs £28 more, 4.0 times as much",
			"Veldmarsh VM2146 costs clearly more than what is inside it usually costs", "The media: B has 30 in² more media, a third",
			"The can: B's is heavier by 18 g, a fifth", "Lowmere's cans have thinned by 0.01 mm a year since February 2022. A counts by its latest openings: before 0.54 mm, now 0.50 mm.",
			"The base plate and inlet: B's plate is thicker", "The valves and the rest: B is heavier", "two of one part may differ as much: can mass per area and implied gauge.",
			"The bench can't tell apart: can gauge."}},
		{[]string{"SK 1223", "T-487"}, []string{"A's total mass of 127.4 g (line 220) and B's element width of 35.10 in (line 66)."}},
		{[]string{"VM2146", "T-385", "W 792", "L4135", "BH-124"}, []string{"A costs most, £37.16", "C has the most media", "E's is thinner by 0.14 mm than A's"}},
		{[]string{"lowmere", "Skerrow"}, []string{"A is Lowmere (8 parts, 41 openings", "Of each part only the openings since count.", "the parts of one maker differ as much"}},
		{[]string{"Pellbrook PB-118", "Lowmere L4075"}, []string{"Around November 2023 Pellbrook's filters lost five pleats. A counts by its openings since: before 72, now 67."}},
		{[]string{"Lowmere L4135", "--then", "2021"}, []string{"B is Lowmere L4135 as opened in 2026 (1 opening, line 261).", "The can: now thinner by 0.04 mm"}},
	} {
		r := call("", append([]string{"compare", demoLog}, c.args...)...)
		want(t, r, exitDone)
		text, from := unwrapped(r.stdout), 0
		for _, says := range c.says {
			at := strings.Index(text[from:], says)
			if at < 0 {
				t.Errorf("%v: %q is not said, or not in its place:\n%s", c.args, says, r.stdout)
				break
			}
			from += at
		}
	}
}

func TestCompareNames(t *testing.T) {
	for _, c := range []struct {
		log  string
		args []string
		says string
	}{
		{"", []string{"Lowmere", "Skerow"}, `there is no maker "Skerow"; did you mean Skerrow?`},
		{"", []string{"Lowmere L4136", "T-385"}, "Lowmere L4135"},
		{"", []string{"Lowmere L4135", "--then", "2018"}, "it was opened in 2019"},
		{"", []string{"Lowmere L4135", "T-385", "--then", "2021"}, "one part"},
		{"", []string{"Lowmere L4135", "--then", "21"}, "a year of four digits"},
	} {
		r := call("", append([]string{"compare", demoLog}, c.args...)...)
		if r.code == exitDone || !strings.Contains(r.stderr, c.says) {
			t.Errorf("%v: exit code %d, %s", c.args, r.code, r.stderr)
		}
	}
	r := call("maker,part,price,can_gauge_mm\nA,a1,5,0.40\nA,a2,6,0.44\nB,b,7,0.50\n", "compare", "-", "A", "B")
	want(t, r, exitDone)
	if text := unwrapped(r.stdout); !strings.Contains(text, "B is B (1 part, 1 opening, line 4).") ||
		!strings.Contains(text, "The can: whether they differ can't be told.") {
		t.Errorf("a maker with one part:\n%s", r.stdout)
	}
}

func TestCompareJSONOfMakersAndTimes(t *testing.T) {
	var got struct {
		Kind     string
		Products []struct{ Part, When string }
		Measures []struct{ Column, Group, Basis string }
		Prices   []any
	}
	for kind, args := range map[string][]string{"makers": {"Lowmere", "Skerrow"}, "then and now": {"L4135", "--then", "2021"}} {
		r := call("", append([]string{"compare", demoLog, "--json"}, args...)...)
		want(t, r, exitDone)
		if err := json.Unmarshal([]byte(r.stdout), &got); err != nil {
			t.Fatal(err)
		}
		if got.Kind != kind || len(got.Products) != 2 || len(got.Measures) < 10 || len(got.Prices) != 0 || got.Measures[0].Group != "price" || got.Measures[0].Basis != "openings" {
			t.Errorf("%s: %+v", kind, got)
		}
		if kind == "then and now" && (got.Products[0].When != "2021" || got.Products[1].When != "2026") {
			t.Errorf("%s: %+v", kind, got.Products)
		}
	}
}

// A part has one price: the last paid, in the money of the last opening.
func TestCompareShowsThePriceThatShowDoes(t *testing.T) {
	for part, paid := range map[string]string{"L4135": "9.29", "VM2146": "37.16"} {
		for _, args := range [][]string{{"show", demoLog, part}, {"compare", demoLog, part, "PB-118"}} {
			r := call("", args...)
			if want(t, r, exitDone); !strings.Contains(r.stdout, paid) {
				t.Errorf("%v does not show the price %s", args, paid)
			}
		}
	}
	then := call("", "compare", demoLog, "Lowmere L4135", "--then", "2022")
	now := call("", "show", demoLog, "Lowmere L4135")
	if want(t, then, exitDone); !regexp.MustCompile(`price, £ +8\.86 +9\.29 `).MatchString(then.stdout) || !strings.Contains(now.stdout, "£8.86") {
		t.Errorf("the prices then and now:\n%s", then.stdout)
	}
}

// A group of which only part was measured both times is not called the same; equal
// categories are marked, and the key explains the marks used.
func TestCompareSaysWhatIsTheSame(t *testing.T) {
	r := call("", "compare", demoLog, "Lowmere L4135", "--then", "2022")
	want(t, r, exitDone)
	text := unwrapped(r.stdout)
	for _, says := range []string{"The base plate and inlet: what was measured both times is the same.", "thread M20x1.5 M20x1.5 =",
		"= the same; – not recorded."} {
		if !strings.Contains(text, says) {
			t.Errorf("the comparison does not say %q", says)
		}
	}
	if strings.Contains(text, "?") || strings.Contains(text, "…") {
		t.Errorf("the comparison explains a mark that it does not use, or cuts a name:\n%s", r.stdout)
	}
}
