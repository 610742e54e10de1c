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

// A cell set aside does not count as repeated and is written as blank; the
// original log keeps it.
func TestSetAsideLeavesNoReadingsBehind(t *testing.T) {
	log, err := Read(strings.NewReader("maker,part,can_gauge_mm,total_mass_g\nSkerrow,SK 1,0.40; 0.42,~200\nSkerrow,SK 2,4.0; 4.4,~300\nSkerrow,SK 3,0.41,210\n"), "log.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	out := log.SetAside([]CellRef{{Row: 1, Column: "can_gauge"}, {Row: 1, Column: "total_mass"}})
	got := out.Repeatability("can_gauge")
	if want := 0.02 / math.Sqrt2; math.Abs(got.SD-want) > 1e-12 || got.Cells != 1 || got.Readings != 2 || got.DF != 1 {
		t.Errorf("repeatability %+v, want the SD %g of one cell with two readings", got, want)
	}
	if r := out.Repeats("can_gauge"); len(r) != 1 || r[0].Row != 0 {
		t.Errorf("repeats %+v", r)
	}
	var text strings.Builder
	if err := WriteNormalised(&text, out); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(text.String(), "\nSkerrow,SK 2,,\n") {
		t.Errorf("written as\n%s", text.String())
	}
	if was := log.Repeatability("can_gauge"); was.Cells != 2 || len(log.Repeats("can_gauge")) != 2 {
		t.Errorf("the log itself was changed: %+v", was)
	}
	none := out.SetAside([]CellRef{{Row: 0, Column: "can_gauge"}}).Repeatability("can_gauge")
	if !math.IsNaN(none.SD) || none.Cells != 0 || none.DF != 0 {
		t.Errorf("without any repeats: %+v", none)
	}
}

// Without a currency, the unit of a price per area has no leading space.
func TestPriceForAnAreaWithoutCurrency(t *testing.T) {
	for header, want := range map[string]string{
		"price,media_area_cm2": "2.25 per 100 cm²", "price_eur,media_area_cm2": "€2.25 per 100 cm²", "price,media_length_in,element_width_in": "1.80 per 10 in²",
	} {
		cells := "9,400"
		if strings.Contains(header, "_in") {
			cells = "9,25,2"
		}
		log, err := Read(strings.NewReader("maker,part,"+header+"\nSkerrow,SK 1,"+cells+"\n"), "log.csv", Options{})
		if err != nil {
			t.Fatal(err)
		}
		if got := log.Units().Format("price_per_area", log.Floats("price_per_area")[0]); got != want {
			t.Errorf("%s: %q, want %q", header, got, want)
		}
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
