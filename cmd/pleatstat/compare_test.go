package main

import (
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

// A measure and its unit together name the unit once, and no limit is said to be
// nothing.
func TestUnitsAreSaidOnce(t *testing.T) {
	r := call("", "compare", demoLog, "Lowmere L4075", "Wexcombe W 610")
	want(t, r, exitDone)
	for _, line := range []string{"price per area, £ per 10 in²  ", "price per mass, £ per 100 g  "} {
		if strings.Count(r.stdout, line) != 1 {
			t.Errorf("the table has no row %q", line)
		}
	}
	text := strings.ReplaceAll(strings.Join(strings.Fields(r.stdout), " "), "\u00a0", " ")
	if says := "Price per mass: B has £1.77 per 100 g less than A (32 %; measuring alone may differ by £0.30 per 100 g; 2 openings)."; !strings.Contains(text, says) {
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
