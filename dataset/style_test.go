package dataset

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

// messages returns the problems of a log whose message contains a text.
func messages(l *Log, text string) (out []Problem) {
	for _, p := range l.Problems() {
		if strings.Contains(p.Message, text) {
			out = append(out, p)
		}
	}
	return out
}

// TestDecimalMark: the whole file decides how an ambiguous cell is read.
func TestDecimalMark(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name, text string
		want       []float64 // total_mass
		says       string    // a problem that must be reported, "" if none
		severity   Severity
	}{
		{"points", "maker,part,total_mass_g\nSkerrow,SK-1,165.2\nSkerrow,SK-2,1.234\n", []float64{165.2, 1.234}, "", ""},
		{"thousands", "maker,part,total_mass_g\nSkerrow,SK-1,165.2\nSkerrow,SK-2,\"1,234\"\n", []float64{165.2, 1234}, "read as thousands", Note},
		{"commas", "maker;part;total_mass_g\nSkerrow;SK-1;165,2\nSkerrow;SK-2;1,234\n", []float64{165.2, 1.234}, "", ""},
		{"points for thousands", "maker;part;total_mass_g\nSkerrow;SK-1;165,2\nSkerrow;SK-2;1.234\n", []float64{165.2, 1234}, "read as thousands", Note},
		{"points with semicolons", "maker;part;total_mass_g\nSkerrow;SK-1;165.2\nSkerrow;SK-2;1.234\n", []float64{165.2, 1.234}, "", ""},
		{"nothing but thousands or decimals, semicolons", "maker;part;total_mass_g\nSkerrow;SK-1;1,515\n", []float64{1.515}, "taken to have a decimal comma", Note},
		{"the same with points", "maker;part;total_mass_g\nSkerrow;SK-1;1.515\n", []float64{nan}, "nothing in the file tells", Unusable},
		{"points, commas split", "maker,part,total_mass_g\nSkerrow,SK-1,1.515\n", []float64{1.515}, "taken to have a decimal point", Note},
		{"commas in quotation marks", "maker,part,total_mass_g\nSkerrow,SK-1,\"1,515\"\n", []float64{nan}, "nothing in the file tells", Unusable},
		{"half and half", "maker;part;total_mass_g\nSkerrow;SK-1;165,2\nSkerrow;SK-2;165.2\nSkerrow;SK-3;1.234\n", []float64{165.2, 165.2, nan}, "nothing in the file tells", Unusable},
		{"tabs", "maker\tpart\ttotal_mass_g\nSkerrow\tSK-1\t1.515\n", []float64{nan}, "nothing in the file tells", Unusable},
		{"a slip", "maker,part,total_mass_g\n" + strings.Repeat("Skerrow,SK-1,165.2\n", 10) + "Skerrow,SK-1,\"165,2\"\n", slices.Repeat([]float64{165.2}, 11), "though the file writes decimals with a point", Note},
	} {
		l := mustRead(t, c.text, Options{})
		got := l.Floats("total_mass")
		for i := range c.want {
			if !near(got[i], c.want[i], 1e-15) {
				t.Errorf("%s: %v, want %v", c.name, got, c.want)
				break
			}
		}
		ps := l.Problems()
		if c.says == "" && len(ps) > 0 {
			t.Errorf("%s: %+v", c.name, ps)
		}
		if c.says != "" && (len(messages(l, c.says)) != 1 || messages(l, c.says)[0].Severity != c.severity) {
			t.Errorf("%s: no problem says %q: %+v", c.name, c.says, ps)
		}
	}
}

// TestDecidedLate: later rows may overturn the style guessed from the first
// ones.
func TestDecidedLate(t *testing.T) {
	var b strings.Builder
	b.WriteString("opened;maker;part;total_mass_g;mine\n")
	for i := range 2010 {
		fmt.Fprintf(&b, "3/8/2024;Skerrow;SK-%d;1.234;%d\n", i, i)
	}
	for range 2000 {
		b.WriteString("3/25/2024;Skerrow;SK-1;1.5;words\n")
	}
	l := mustRead(t, b.String(), Options{})
	if v := l.Floats("total_mass")[0]; v != 1.234 {
		t.Errorf("total mass %v", v)
	}
	if day := FormatOpened(l.Floats("opened")[0], "day"); day != "2024-03-08" {
		t.Errorf("opened %v", day)
	}
	if l.Strings("mine") == nil || l.Strings("mine")[5] != "5" {
		t.Error("a column that turns to words is not text")
	}
	for _, p := range l.Problems() {
		if p.Severity != Note {
			t.Errorf("%+v", p)
		}
	}
}

func TestDateOrder(t *testing.T) {
	for _, c := range []struct {
		name   string
		header string
		dates  []string
		want   []string
		says   string
	}{
		{"day first", "opened", []string{"3/8/2024", "25/8/2024"}, []string{"2024-08-03", "2024-08-25"}, ""},
		{"month first", "opened", []string{"3/8/2024", "3/25/2024"}, []string{"2024-03-08", "2024-03-25"}, ""},
		{"undecided", "opened", []string{"3/8/2024", "4/8/2024", "5/5/2024"}, []string{"2024", "2024", "2024-05-05"}, "2 dates could be day first or month first"},
		{"the header tells", "date (dd/mm/yyyy)", []string{"3/8/2024"}, []string{"2024-08-03"}, "taken from the header"},
		{"the header tells", "date (mm/dd/yyyy)", []string{"3/8/2024"}, []string{"2024-03-08"}, "taken from the header"},
		{"both", "opened", []string{"25/8/2024", "8/25/2024", "3/8/2024"}, []string{"2024-08-25", "2024-08-25", "2024"}, "a date could be day first or month first"},
		{"a slip", "opened", append(slices.Repeat([]string{"25/8/2024"}, 10), "8/25/2024", "3/8/2024"), append(slices.Repeat([]string{"2024-08-25"}, 11), "2024-08-03"), "the other way round"},
		{"precisions", "opened", []string{"2024", "2024-03", "2024-03-08", "45359"}, []string{"2024", "2024-03", "2024-03-08", "2024-03-08"}, ""},
	} {
		var b strings.Builder
		b.WriteString("maker,part,pleats," + c.header + "\n")
		for _, d := range c.dates {
			b.WriteString("Skerrow,SK-1,51," + d + "\n")
		}
		l := mustRead(t, b.String(), Options{})
		frame, err := l.Frame("opened", "opened_precision")
		if err != nil {
			t.Fatal(err)
		}
		opened, precision := frame.Col("opened").Float(), frame.Col("opened_precision").Records()
		for i := range c.want {
			if got := FormatOpened(opened[i], precision[i]); got != c.want[i] {
				t.Errorf("%s: %s is %s, want %s", c.name, c.dates[i], got, c.want[i])
			}
		}
		if c.says != "" && len(messages(l, c.says)) != 1 || c.says == "" && len(l.Problems()) > 0 {
			t.Errorf("%s: %+v", c.name, l.Problems())
		}
		for _, p := range l.Problems() { // reported at the first such date
			if first := slices.Index(c.dates, p.Text) + 2; strings.Contains(p.Message, "could be day first") && p.Line != first {
				t.Errorf("%s: %q is said to stand in line %d, not %d", c.name, p.Text, p.Line, first)
			}
		}
	}
}

func TestPrices(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name, text, currency string
		want                 []float64
		says                 string
	}{
		{"none named", "maker,part,price\nSkerrow,SK-1,8.99\n", "", []float64{8.99}, ""},
		{"in the header", "maker,part,price (€)\nSkerrow,SK-1,8.99\n", "€", []float64{8.99}, ""},
		{"in cells", "maker,part,price\nSkerrow,SK-1,$8.99\nSkerrow,SK-2,9 USD\nSkerrow,SK-3,7\n", "$", []float64{8.99, 9, 7}, "1 prices name no currency; $ is assumed"},
		{"its own column", "maker,part,price,currency\nSkerrow,SK-1,8.99,EUR\nSkerrow,SK-2,9,€\nSkerrow,SK-3,7,GBP\n", "€", []float64{8.99, 9, nan}, "the price is in £ and most of the log in €"},
		{"code", "maker,part,price_chf\nSkerrow,SK-1,8.99\n", "CHF", []float64{8.99}, ""},
		{"pack", "maker,part,price,pack_quantity\nSkerrow,SK-1,30,6\nSkerrow,SK-2,5,\nSkerrow,SK-3,5,1\n", "", []float64{5, 5, 5}, ""},
		{"empty pack", "maker,part,price,pack_quantity\nSkerrow,SK-1,30,0\nSkerrow,SK-2,5,1\n", "", []float64{nan, 5}, "a pack holds at least one filter"},
	} {
		l := mustRead(t, c.text, Options{})
		got := l.Floats("price")
		for i := range c.want {
			if !near(got[i], c.want[i], 1e-15) {
				t.Errorf("%s: %v, want %v", c.name, got, c.want)
			}
		}
		if l.Units().Currency() != c.currency {
			t.Errorf("%s: currency %q, want %q", c.name, l.Units().Currency(), c.currency)
		}
		if c.says != "" && len(messages(l, c.says)) != 1 || c.says == "" && len(l.Problems()) > 0 {
			t.Errorf("%s: %+v", c.name, l.Problems())
		}
	}
}

func TestAssumedUnits(t *testing.T) {
	const text = "maker,part,can_gauge,media_length,element_width,total_mass,media_area,media_thickness\n" +
		"Skerrow,SK-1,%s\nSkerrow,SK-2,%[1]s\nSkerrow,SK-3,%[1]s\n"
	for _, c := range []struct {
		row  string
		want map[string]string
	}{
		{"0.47,38.5,1.56,165.2,355,0.6", map[string]string{"can_gauge": "mm", "media_length": "in", "element_width": "in", "total_mass": "g", "media_area": "cm²", "media_thickness": "mm"}},
		{"0.0185,927,38.4,5.7,55.1,0.024", map[string]string{"can_gauge": "in", "media_length": "mm", "element_width": "mm", "total_mass": "oz", "media_area": "in²", "media_thickness": "in"}},
		{"18.5,92.7,3.84,0.1623,0.0355,24", map[string]string{"can_gauge": "thou", "media_length": "cm", "element_width": "cm", "total_mass": "kg", "media_area": "m²", "media_thickness": "thou"}},
	} {
		l := mustRead(t, fmt.Sprintf(text, c.row), Options{})
		for name, want := range c.want {
			if got := l.byName[name].Unit.Symbol; got != want {
				t.Errorf("%s of %s is taken to be in %s, want %s", name, c.row, got, want)
			}
		}
		if n := len(messages(l, "the header names no unit")); n != len(c.want) {
			t.Errorf("%d columns are reported, want %d: %+v", n, len(c.want), l.Problems())
		}
	}
}

func TestUnitsForOutput(t *testing.T) {
	us := mustRead(t, "maker,part,price,can_gauge_in,media_length_in,element_width_in,total_mass_oz\nSkerrow,SK-1,8.99,0.018,38.5,1.56,5.72\n", Options{})
	metric := mustRead(t, "maker,part,price,can_gauge_mm,media_length_mm,element_width_mm,total_mass_g\nSkerrow,SK-1,8.99,0.47,978,39.6,165.2\n", Options{})
	if us.Units().System() != "us" || metric.Units().System() != "metric" {
		t.Errorf("systems %s and %s", us.Units().System(), metric.Units().System())
	}
	both := mustRead(t, smallLog, Options{})
	overridden := mustRead(t, smallLog, Options{Units: "metric"})
	if both.Units().System() != "mixed" || overridden.Units().System() != "metric" {
		t.Errorf("systems %s and %s", both.Units().System(), overridden.Units().System())
	}
	inUS := mustRead(t, smallLog, Options{Units: "us"})
	for _, c := range []struct {
		l            *Log
		column, want string
	}{
		{both, "media_length", "38.50 in"}, {both, "media_area", "60.1 in²"}, {both, "can_gauge", "0.48 mm"}, {both, "grammage", "204 g/m²"},
		{both, "pleat_depth", "0.363 in"}, {both, "price_per_area", "$1.50 per 10 in²"}, {both, "price_per_100g", "$5.44 per 100 g"}, {both, "claimed_efficiency", "99.0 %"},
		{overridden, "media_length", "977.9 mm"}, {overridden, "media_area", "387 cm²"}, {overridden, "price_per_area", "$2.32 per 100 cm²"}, {overridden, "pleat_depth", "9.23 mm"},
		{inUS, "can_gauge", "0.0188 in"}, {inUS, "total_mass", "5.827 oz"}, {inUS, "media_area", "60.1 in²"},
		{us, "media_area", "60.1 in²"}, {us, "total_mass", "5.72 oz"}, {metric, "media_area", "387 cm²"}, {metric, "total_mass", "165.2 g"},
		{both, "magnet", "0.48"}, {both, "bench", "3"}, {metric, "price", "8.99"},
	} {
		v := 0.4767
		if f := c.l.Floats(c.column); f != nil {
			v = f[0]
		}
		if got := c.l.Units().Format(c.column, v); got != c.want {
			t.Errorf("%s is shown as %q, want %q", c.column, got, c.want)
		}
	}
	if got := both.Units().Format("price", -0.004); got != "$0.00" {
		t.Errorf("nearly nothing is %q", got)
	}
	if got := both.Units().Format("price", -3); got != "-$3.00" {
		t.Errorf("less than nothing is %q", got)
	}
	if got := (Units{}).Format("can_gauge", 0.5); got != "0.50 mm" {
		t.Errorf("zero Units show %q", got)
	}
	if got := both.Units().Format("price", math.NaN()); got != "–" {
		t.Errorf("a missing value is %q", got)
	}
}
