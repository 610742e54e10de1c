package main

import (
	"fmt"
	"strings"
	"testing"
)

// spoken returns a text without its line breaks.
func spoken(text string) string {
	return strings.ReplaceAll(strings.Join(strings.Fields(text), " "), "\u00a0", " ")
}

// wantOutput fails the test if the text of a run lacks one of these.
func wantOutput(t *testing.T, r result, all ...string) {
	t.Helper()
	for _, says := range all {
		if !strings.Contains(spoken(r.stdout), says) {
			t.Errorf("the text does not say %q:\n%s", says, r.stdout)
		}
	}
}

func TestALogOfOneOpeningIsToldAsOne(t *testing.T) {
	r := call("opened,maker,part,price,can_gauge_mm\n2019-01,Skerrow,SK-1,8.99,0.40\n", "report", "-")
	want(t, r, exitDone)
	wantOutput(t, r,
		"standard input: 1 filter by 1 maker, 1 part, opened in January 2019.",
		"No trend has enough openings yet",
	)
}

// If all readings are the same, the text does not claim too few openings, and no part is
// flagged.
func TestALogOfEqualsIsNotCalledShort(t *testing.T) {
	var log strings.Builder
	log.WriteString("opened,maker,part,price,media_area_cm2,can_gauge_mm,can_mass_g,total_mass_g,pleats,element_width_mm,media_mass_g,media_length_mm\n")
	for i := range 24 {
		fmt.Fprintf(&log, "2024-01-%02d,Maker%d,P%d,5,50,0.4,60,100,50,40,8,900\n", i+1, i%3, i)
	}
	r := call(log.String(), "report", "-")
	want(t, r, exitDone)
	if text := spoken(r.stdout); strings.Contains(text, "enough openings yet") || !strings.Contains(text, "No trend could be drawn from them yet.") ||
		!strings.Contains(text, "media area is the same for all 24 products") {
		t.Errorf("the findings:\n%s", r.stdout)
	}
	r = call(log.String(), "roundup", "-")
	want(t, r, exitDone)
	wantOutput(t, r,
		"By the readings several parts have the most media, Maker0 P0 among them: 360 cm².",
		"How sure every place is can't be said yet: parts were opened again 0 times, 10 would do.",
		"Looked for and not found: prices off what the contents usually cost.",
	)
}

// A step of a count has no decimals: "2 more pleats".
func TestACountAsThePredictor(t *testing.T) {
	var log strings.Builder
	log.WriteString("maker,part,pleats,media_mass_g\n")
	for i := range 20 {
		fmt.Fprintf(&log, "Skerrow,S%d,%d,%.1f\n", i, 40+i, 5+0.2*float64(i)+0.1*float64(i%3))
	}
	r := call(log.String(), "trend", "-", "--of", "media_mass", "--on", "pleats", "--scale", "linear")
	want(t, r, exitDone)
	if !strings.Contains(spoken(r.stdout), "Filters with 2 more pleats have about 0.4") {
		t.Errorf("the trend:\n%s", r.stdout)
	}
}

func TestADateAsThePredictor(t *testing.T) {
	r := call("", "trend", demoLog, "--of", "price", "--on", "opened")
	want(t, r, exitDone)
	text := spoken(r.stdout)
	for _, says := range []string{"Price on date opened No relation shows between date opened and price. [a year later: £", "Nothing: where no relation shows, nothing can lie off it."} {
		if !strings.Contains(text, says) {
			t.Errorf("the trend does not say %q:\n%s", says, r.stdout)
		}
	}
}

// Points exactly on a line leave nothing from which to estimate some of the ranges.
func TestAnExactLineIsToldWithoutNaN(t *testing.T) {
	var log strings.Builder
	log.WriteString("maker,part,price,media_mass_g\n")
	for i := range 15 {
		fmt.Fprintf(&log, "Skerrow,S%d,%d.5,%d\n", i, 5+i, 10+2*i)
	}
	for _, scale := range []string{"linear", "log"} {
		r := call(log.String(), "trend", "-", "--of", "price", "--on", "media_mass", "--scale", scale)
		want(t, r, exitDone)
		if strings.Contains(r.stdout, "NaN") {
			t.Errorf("%s:\n%s", scale, r.stdout)
		}
	}
}

// A log of maker, part and columns of its own works for a trend between two of these;
// every other command states what is missing.
func TestALogOfColumnsOfOnesOwn(t *testing.T) {
	var log strings.Builder
	log.WriteString("maker,part,torque Nm,burst bar,shelf\n")
	for i := range 20 {
		fmt.Fprintf(&log, "Skerrow,S%d,%.1f,%.1f,A%d\n", i, 10+0.5*float64(i), 30+1.1*float64(i)+float64(i%3), i%2)
	}
	r := call(log.String(), "trend", "-", "--of", "burst bar", "--on", "torque Nm")
	want(t, r, exitDone)
	wantOutput(t, r, "Columns read: maker, part, torque Nm, burst bar. Not used: 'shelf'.", "Filters with 1.0 more torque Nm have about 2.2 more burst bar. [2.08 to 2.34 more; 20 products; ")
	for command, says := range map[string]string{
		"report": "No trend has enough openings yet", "check": "20 openings", "drift": "Too few to say", "price": "could not be judged",
	} {
		r := call(log.String(), command, "-")
		want(t, r, exitDone)
		wantOutput(t, r, "Columns read: maker, part. Not used: 'torque Nm', 'burst bar', 'shelf'.", says)
	}
}

// From the first opening on, start states how many more would answer which question.
func TestStartSaysWhatMoreOpeningsWouldDo(t *testing.T) {
	log := "maker,part,price,media_area_cm2\n"
	for n := 1; n <= 20; n++ {
		log += fmt.Sprintf("Skerrow,SK-%d,%d,%d\n", n, 5+n%4, 300+20*n)
		r := call(log, "start", "-")
		want(t, r, exitDone)
		says := fmt.Sprintf("%d more with price and media area would let me say what the market charges", 8-n)
		if strings.Contains(spoken(r.stdout), says) != (n < 8) {
			t.Errorf("%d openings:\n%s", n, r.stdout)
		}
	}
}
