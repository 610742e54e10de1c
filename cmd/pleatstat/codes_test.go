package main

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"
)

// movedPlant is a log in which one maker's cans become thinner when they are made in
// another country. Only the date codes show when, since the filters lay in shops for
// years. One filter is sold under two labels.
func movedPlant() string {
	rng := rand.New(rand.NewPCG(61, 1))
	var b strings.Builder
	b.WriteString("opened,maker,part,can_gauge_mm,date_code,origin,same_as\n")
	for _, maker := range []string{"Skerrow", "Thornquay", "Veldmarsh", "Orrinvale"} {
		for i := range 40 {
			part, made := i%5, rng.IntN(6*365)
			gauge, origin, same := 0.50-0.03*float64(part)+0.005*rng.NormFloat64(), "Ostermark", ""
			if maker == "Orrinvale" && made >= 1500 {
				gauge, origin = gauge-0.05, "Varnia"
			}
			if maker == "Thornquay" && part == 0 {
				same = "Skerrow S0"
			}
			day := time.Date(2015, time.January, 5+made, 0, 0, 0, 0, time.UTC)
			year, week := day.ISOWeek()
			fmt.Fprintf(&b, "%s,%s,%c%d,%.2f,%d-W%02d,%s,%s\n", day.AddDate(0, 0, 7+rng.IntN(4*365)).Format(time.DateOnly), maker, maker[0], part, gauge, year, week, origin, same)
		}
	}
	return b.String()
}

// What is printed on a filter is reported with its change: the country first, and that
// the date comes from the date code. The change is 1500 days after the start of 2015:
// February 2019.
func TestWhatIsPrintedIsToldWithAChange(t *testing.T) {
	file := logFile(t, movedPlant())
	r := call("", "drift", file)
	want(t, r, exitDone)
	wantOutput(t, r, "Since they are made in Varnia and no longer in Ostermark: around", "Orrinvale's cans became thinner by 0.05 mm", "2019", "dated by date code",
		"Count once, as one filter under several labels (same_as, made_by): Skerrow S0 and Thornquay T0.")
	for _, once := range []string{sayWhose, "Count once"} {
		if n := strings.Count(spoken(r.stdout), once); n != 1 {
			t.Errorf("%q stands %d times:\n%s", once, n, r.stdout)
		}
	}
	r = call("", "drift", file, "--json")
	want(t, r, exitDone)
	for _, says := range []string{`"dated_by": "date_code"`, `"origin_now": "Varnia"`, `"origin_then": "Ostermark"`} {
		if !strings.Contains(r.stdout, says) {
			t.Errorf("the JSON does not say %s", says)
		}
	}
	r = call("", "report", file)
	want(t, r, exitDone)
	wantOutput(t, r, "19 different parts", "Count once")
}
