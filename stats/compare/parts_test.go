package compare

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"pleatstat/dataset"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

func read(t testing.TB, text string) *dataset.Log {
	t.Helper()
	log, err := dataset.Read(strings.NewReader(text), "bench.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return log
}

// Two products of the harbour workshop (invented), gauge read three times.
const twoParts = `maker,part,price,can_gauge_mm,total_mass_g,media_length_mm,element_width_mm,pleats,media_type,drain_back,can_mass_g
Skerrow,SK 1204,8.00,0.47; 0.48; 0.49,200.0,1000,50,50,cellulose,silicone,90.0
Skerrow,SK 1204,10.00,0.48,204.0,1010,50,50,cellulose,silicone,
Lowmere,L4015,12.00,0.39; 0.40; 0.41,200.1,1000,60,52,synthetic,silicone,
Lowmere,L4035,6.00,0.50,150.0,900,40,48,cellulose,,
Wexcombe,W 610,7.00,0.45,180.5,950,45,49,cellulose,none,
`

var skerrow, lowmere = price.Product{Maker: "Skerrow", Part: "SK 1204"}, price.Product{Maker: "Lowmere", Part: "L4015"}

func measure(t *testing.T, c *Comparison, name string) Measure {
	t.Helper()
	k := slices.IndexFunc(c.Measures, func(m Measure) bool { return m.Column == name })
	if k < 0 {
		t.Fatalf("no measure %s", name)
	}
	return c.Measures[k]
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.IsNaN(want) != math.IsNaN(got) || math.Abs(got-want) > 1e-9*math.Max(1, math.Abs(want)) {
		t.Errorf("%s: got %.12g, want %.12g", what, got, want)
	}
}

func TestPartsByHand(t *testing.T) {
	c, err := Parts(read(t, twoParts), []price.Product{skerrow, lowmere}, nil, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff([]Product{{Maker: "Skerrow", Part: "SK 1204", Parts: 1, Openings: 2, Lines: []int{2, 3}}, {Maker: "Lowmere", Part: "L4015", Parts: 1, Openings: 1, Lines: []int{4}}}, c.Products); d != "" {
		t.Error(d)
	}
	price := measure(t, c, "price")
	near(t, "mean price", price.Values[0].Mean, 9)
	near(t, "price difference", price.Differences[0].By, 3)
	near(t, "price ratio", price.Differences[0].Ratio, 4.0/3)
	if !price.Differences[0].Beyond || price.Most != 1 {
		t.Errorf("a price is exact: %+v", price)
	}

	// Repeatability of the gauge: two cells of three readings, each with SD
	// 0.01, so 0.01 with 4 degrees of freedom. Means 0.48 (a cell of three and
	// one of one reading) and 0.40 (a cell of three). t(4, 0.975) = 2.776445
	// (handbook table).
	gauge := measure(t, c, "can_gauge")
	se := math.Hypot(0.01*math.Sqrt((1.0/3+1)/4), 0.01/math.Sqrt(3))
	near(t, "gauge of the first", gauge.Values[0].Mean, 0.48)
	near(t, "gauge difference", gauge.Differences[0].By, -0.08)
	if got := gauge.Differences[0].Limit; math.Abs(got-2.776445*se) > 1e-7 {
		t.Errorf("limit of the gauge: %g, want %g", got, 2.776445*se)
	}
	if !gauge.Differences[0].Beyond || gauge.Most != 0 {
		t.Errorf("0.08 mm is beyond the bench: %+v", gauge)
	}

	if pleats := measure(t, c, "pleats"); !pleats.Differences[0].Beyond || pleats.Most != 1 {
		t.Errorf("two pleats more are a fact: %+v", pleats)
	}
	area := measure(t, c, "media_area")
	near(t, "area of the first", area.Values[0].Mean, 502.5)
	near(t, "area of the second", area.Values[1].Mean, 600)
	perArea := measure(t, c, "price_per_area")
	near(t, "price of 100 cm²", perArea.Values[1].Mean, 2)
	near(t, "price of 100 g", measure(t, c, "price_per_100g").Values[1].Mean, 100*12/200.1)
	if !perArea.Derived || price.Derived {
		t.Error("derived and recorded are mixed up")
	}
}

func TestWordsAndOnly(t *testing.T) {
	c, err := Parts(read(t, twoParts), []price.Product{skerrow, lowmere}, nil, Options{})
	if err != nil {
		t.Fatal(err)
	}
	want := []Words{
		{Column: "media_type", Group: OfMedia, Values: [][]string{{"cellulose"}, {"synthetic"}}, Differs: true},
		{Column: "drain_back", Group: OfValves, Values: [][]string{{"silicone"}, {"silicone"}}},
	}
	if d := cmp.Diff(want, c.Words); d != "" {
		t.Error(d)
	}
	var only []string
	for _, o := range c.Only {
		only = append(only, o.Column)
		if o.Place != 0 {
			t.Errorf("%s belongs to the first", o.Column)
		}
	}
	if !slices.Contains(only, "can_mass") {
		t.Errorf("the can mass of one alone is not named: %v", only)
	}
}

// A difference of one step is rounding, whatever the repeated readings show.
func TestStepOfTheScale(t *testing.T) {
	text := "maker,part,can_gauge_mm,total_mass_g\nSkerrow,SK 1,0.48,200.1\nSkerrow,SK 2,0.49,200.3\n" +
		"Lowmere,L 1,0.51,210.7\nLowmere,L 2,0.43,180.9\nLowmere,L 3,0.37,180.5\n"
	pair := func(a, b price.Product) Measure {
		c, err := Parts(read(t, text), []price.Product{a, b}, nil, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(c.Warnings) != 1 || !strings.Contains(c.Warnings[0], "can gauge") {
			t.Errorf("no warning about missing readings: %v", c.Warnings)
		}
		return measure(t, c, "can_gauge")
	}
	one := pair(price.Product{Maker: "Skerrow", Part: "SK 1"}, price.Product{Maker: "Skerrow", Part: "SK 2"})
	if one.Differences[0].Beyond || one.Most != -1 {
		t.Errorf("one step is called a difference: %+v", one)
	}
	three := pair(price.Product{Maker: "Skerrow", Part: "SK 1"}, price.Product{Maker: "Lowmere", Part: "L 1"})
	if !three.Differences[0].Beyond || three.Most != 1 {
		t.Errorf("three steps are not called a difference: %+v", three)
	}
}

func TestPartsErrors(t *testing.T) {
	log := read(t, twoParts)
	var few *TooFewError
	if _, err := Parts(log, []price.Product{skerrow}, nil, Options{}); !errors.As(err, &few) {
		t.Errorf("one product: %v", err)
	}
	var twice *TwiceError
	if _, err := Parts(log, []price.Product{skerrow, lowmere, skerrow}, nil, Options{}); !errors.As(err, &twice) {
		t.Errorf("the same twice: %v", err)
	}
	var unknown *price.UnknownError
	if _, err := Parts(log, []price.Product{skerrow, {Maker: "Lowmere", Part: "L4016"}}, nil, Options{}); !errors.As(err, &unknown) || len(unknown.Nearest) == 0 {
		t.Errorf("unknown part: %v", err)
	}
	if _, err := Parts(log, []price.Product{skerrow, {Maker: "lowmere", Part: "L 4015"}}, nil, Options{}); !errors.As(err, &unknown) || unknown.Nearest[0] != lowmere {
		t.Errorf("not spelt as in the log: %v", err)
	}
}

// The first product is the reference; otherwise the order of the products does
// not matter.
func TestPartsOrder(t *testing.T) {
	log, err := dataset.ReadFile("../../testdata/demo/harbour.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	model, err := price.Fit(log, price.Options{})
	if err != nil {
		t.Fatal(err)
	}
	a, b := price.Product{Maker: "Lowmere", Part: "L4119"}, price.Product{Maker: "Wexcombe", Part: "W 792"}
	forth, err := Parts(log, []price.Product{a, b}, model, Options{})
	if err != nil {
		t.Fatal(err)
	}
	back, err := Parts(log, []price.Product{b, a}, model, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(forth.Measures) < 15 || len(forth.Measures) != len(back.Measures) || len(forth.Prices) != 2 {
		t.Fatalf("%d and %d measures, %d verdicts", len(forth.Measures), len(back.Measures), len(forth.Prices))
	}
	for i, m := range forth.Measures {
		other := back.Measures[i]
		near(t, m.Column, m.Differences[0].By, -other.Differences[0].By)
		near(t, m.Column+" limit", m.Differences[0].Limit, other.Differences[0].Limit)
		if m.Differences[0].Beyond != other.Differences[0].Beyond || (m.Most < 0) != (other.Most < 0) || m.Most >= 0 && m.Most != 1-other.Most {
			t.Errorf("%s depends on the order", m.Column)
		}
	}
	if v := forth.Prices[1].Verdict; v.Grade != trend.Clear || v.Direction != price.Above {
		t.Errorf("%s: %s %s, want clear and above as planted", b, v.Grade, v.Direction)
	}
}
