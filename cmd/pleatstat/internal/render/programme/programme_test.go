package programme

import (
	"strings"
	"testing"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/stats/roundup"
)

// bench returns units in which gauges are in millimetres and prices in dollars.
func bench(t *testing.T) dataset.Units {
	t.Helper()
	log, err := dataset.Read(strings.NewReader("maker,part,price,can_gauge_mm\nSkerrow,SK-1,$8.99,0.44\n"), "bench.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return log.Units()
}

// One measure of a part that differs is reported with its readings. Several measures of
// its contents make it another filter under the same number; a price with one of them
// does not.
func TestWhatChangedInOnePart(t *testing.T) {
	s := speaker{&roundup.Roundup{}, bench(t)}
	gauge := roundup.Change{Maker: "Skerrow", Part: "SK-1", Measure: "can_gauge", Since: 2023, Before: 0.41, Now: 0.36, Clear: true}
	pleats, price := gauge, gauge
	pleats.Measure, pleats.Before, pleats.Now = "pleats", 55, 48
	price.Measure, price.Before, price.Now, price.AboveMarket = "price", 8, 12, true
	for _, c := range []struct {
		all  []roundup.Change
		want string
	}{
		{[]roundup.Change{gauge}, "SK-1: can gauge is 0.36 mm, in 2023 it was 0.41 mm."},
		{[]roundup.Change{price, gauge}, "SK-1: price is $12.00, in 2023 it was $8.00, which the market alone does not explain; can gauge is 0.36 mm, in 2023 it was 0.41 mm."},
		{[]roundup.Change{gauge, pleats, price}, "SK-1 is not the same filter any more: can gauge and pleats changed since 2023."},
	} {
		if got := wording.Spaced(s.changed("SK-1", c.all)); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// A place among fewer parts than the year has comes with the number of those parts.
func TestPlacesSayAmongHowMany(t *testing.T) {
	s := speaker{&roundup.Roundup{Opened: roundup.Opened{Products: 16}}, bench(t)}
	table := roundup.Table{N: 13, Places: []roundup.Place{{Maker: "Skerrow", Part: "SK-1"}}}
	for said, want := range map[string]string{
		"Skerrow SK-1 has the deepest pleats.":              "Of the 13 parts with readings for it, Skerrow SK-1 has the deepest pleats.",
		"It is too close to tell which has the most media.": "Of the 13 parts with readings for it, it is too close to tell which has the most media.",
	} {
		if got := wording.Spaced(s.amongMeasured(table, said)); got != want {
			t.Errorf("%q, want %q", got, want)
		}
		table := table
		if table.N = 16; s.amongMeasured(table, said) != said {
			t.Errorf("of all parts: %q", s.amongMeasured(table, said))
		}
	}
}
