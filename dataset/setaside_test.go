package dataset

import (
	"math"
	"strings"
	"testing"
)

const twoOpenings = "opened,maker,part,price,media_length_in,element_width_in,can_gauge_mm\n" +
	"2024-03-08,Skerrow,SK 1,8.00,40,1.5,0.41\n" +
	"2024-04,Lowmere,L1,9.00,50,1.6,0.39\n"

func TestSetAsideBlanksTheCellAndWhatFollowsFromIt(t *testing.T) {
	log, err := Read(strings.NewReader(twoOpenings), "log.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	was := log.Floats("media_area")[0]
	out := log.SetAside([]CellRef{{Row: 0, Column: "media_length"}, {Row: 9, Column: "price"}, {Row: 0, Column: "maker"}})
	if got := out.Floats("media_length")[0]; !math.IsNaN(got) {
		t.Errorf("media_length is still %v", got)
	}
	if got := out.Floats("media_area")[0]; !math.IsNaN(got) {
		t.Errorf("media_area is still %v", got)
	}
	if got := out.Floats("media_area")[1]; got != log.Floats("media_area")[1] {
		t.Errorf("another opening's media_area became %v", got)
	}
	if got := log.Floats("media_area")[0]; got != was || math.IsNaN(got) {
		t.Errorf("the log itself was changed: %v, was %v", got, was)
	}
}

func TestOpenedKeepsTheDayAndThePrecision(t *testing.T) {
	log, err := Read(strings.NewReader(twoOpenings), "log.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	for row, want := range []string{"2024-03-08 day", "2024-04-15 month"} {
		when, precision, ok := log.Opened(row)
		if got := when.Format("2006-01-02") + " " + precision; !ok || got != want {
			t.Errorf("row %d: %s (%t), want %s", row, got, ok, want)
		}
	}
	if _, _, ok := log.Opened(7); ok {
		t.Error("a row that is not there has a date")
	}
}
