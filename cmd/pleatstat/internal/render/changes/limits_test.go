package changes

import (
	"strings"
	"testing"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
)

// The change that more openings would find is stated in the unit of the measure, or as
// a share of it.
func TestMoreOpenings(t *testing.T) {
	u := bench(t)
	for _, c := range []struct {
		measure     string
		more, never []string
		want        string
	}{
		{"can_gauge", nil, nil, ""},
		{"can_gauge", []string{"12 more openings of Skerrow", "1 more opening of Lowmere"}, nil, " To find 0.01 mm a year: 12 more openings of Skerrow and 1 more opening of Lowmere."},
		{"pleats", []string{"3 more openings of Lowmere"}, []string{"Pellbrook"}, " To find 1 a year: 3 more openings of Lowmere; of Pellbrook more openings alone will not do."},
		{"media_area", nil, []string{"Skerrow", "Lowmere"}, " To find 2 % a year: of Skerrow and Lowmere more openings alone will not do."},
		{"price", []string{"5 more openings of Skerrow"}, nil, " To find 5 % a year: 5 more openings of Skerrow."},
	} {
		if got := wording.Spaced(moreOpenings(c.measure, c.more, c.never, u)); got != c.want {
			t.Errorf("%s: %q, want %q", c.measure, got, c.want)
		}
	}
}

// bench returns units in which gauges are in millimetres and prices in dollars.
func bench(t *testing.T) dataset.Units {
	t.Helper()
	log, err := dataset.Read(strings.NewReader("maker,part,price,can_gauge_mm\nSkerrow,SK-1,$8.99,0.44\n"), "bench.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return log.Units()
}
