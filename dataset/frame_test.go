package dataset

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/go-gota/gota/dataframe"
	"github.com/go-gota/gota/series"
)

func wholeFrame(t *testing.T, l *Log) dataframe.DataFrame {
	t.Helper()
	frame, err := l.Frame()
	if err != nil {
		t.Fatal(err)
	}
	return frame
}

// TestFrame: the frame has the types, names and values of the log.
func TestFrame(t *testing.T) {
	l := mustRead(t, smallLog, Options{})
	frame := wholeFrame(t, l)
	types := map[string]series.Type{"row": series.Int, "line": series.Int, "product": series.Int, "maker": series.String,
		"opened": series.Float, "opened_precision": series.String, "price": series.Float, "notes": series.String, "bench": series.Float}
	for i, name := range frame.Names() {
		if want, ok := types[name]; ok && frame.Types()[i] != want {
			t.Errorf("%s is %s, want %s", name, frame.Types()[i], want)
		}
		if v := l.Floats(name); v != nil {
			got := frame.Col(name).Float()
			for row := range v {
				if !near(got[row], v[row], 0) {
					t.Errorf("%s, row %d: %v, want %v", name, row, got[row], v[row])
				}
			}
		}
		if s := l.Strings(name); s != nil && !slices.Equal(frame.Col(name).Records(), s) {
			t.Errorf("%s: %q, want %q", name, frame.Col(name).Records(), s)
		}
	}
	if !slices.Equal(frame.Names(), l.Names()) {
		t.Errorf("names %v, want %v", frame.Names(), l.Names())
	}
	for name, want := range map[string][]int{"row": {0, 1, 2, 3}, "line": {2, 4, 5, 6}, "product": {0, 0, 1, 2}} {
		if got, err := frame.Col(name).Int(); err != nil || !slices.Equal(got, want) {
			t.Errorf("%s: %v (%v), want %v", name, got, err, want)
		}
	}
	if some, err := l.Frame("product", "price"); err != nil || some.Ncol() != 2 {
		t.Errorf("%v", err)
	}
	if _, err := l.Frame("no such column"); err == nil {
		t.Error("a column that does not exist is framed")
	}
	// Parts named NaN are text, not missing values.
	odd := mustRead(t, "maker,part,pleats,notes\nNA Skerrow,NaN-1,51,\nnone,0,51,true\n", Options{})
	if got := wholeFrame(t, odd).Col("part").Records(); got[0] != "NaN-1" || got[1] != "0" {
		t.Errorf("parts %q", got)
	}
}

// TestNothingIsGivenAway: changing a slice that a log returned does not change
// the log.
func TestNothingIsGivenAway(t *testing.T) {
	l := mustRead(t, smallLog, Options{})
	l.Floats("price")[0] = -1
	l.Strings("maker")[0] = "x"
	l.Problems()[0].Text = "x"
	l.Repeats("can_gauge")[0].N = 99
	wholeFrame(t, l).Col("price").Set(0, series.Floats([]float64{-1}))
	if l.Floats("price")[0] != 8.99 || l.Strings("maker")[0] != "Skerrow" || l.Problems()[0].Text == "x" || l.Repeats("can_gauge")[0].N != 3 || wholeFrame(t, l).Col("price").Float()[0] != 8.99 {
		t.Error("the log was changed from outside")
	}
}

// TestOrderOfRows: shuffling the openings only shuffles the values.
func TestOrderOfRows(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(string(manyRows(500))), "\n")
	order := rand.New(rand.NewPCG(3, 4)).Perm(len(lines) - 1)
	shuffled := []string{lines[0]}
	for _, i := range order {
		shuffled = append(shuffled, lines[i+1])
	}
	a := mustRead(t, strings.Join(lines, "\n"), Options{})
	b := mustRead(t, strings.Join(shuffled, "\n"), Options{})
	for _, name := range a.Names() {
		v, w := a.Floats(name), b.Floats(name)
		for to, from := range order {
			if v != nil && !near(v[from], w[to], 0) {
				t.Fatalf("%s of line %d changes when the rows are shuffled", name, from)
			}
		}
		if u := a.Units().Of(name); u != b.Units().Of(name) && name != "row" {
			t.Errorf("%s is shown as %v and %v", name, u, b.Units().Of(name))
		}
	}
}

// TestScale: a log in inches and ounces has the same values as one in
// millimetres and grams.
func TestScale(t *testing.T) {
	var metric, us bytes.Buffer
	fmt.Fprintln(&metric, "maker,part,can_od_mm,can_height_mm,can_mass_g,media_length_mm,element_width_mm,media_mass_g,can_gauge_mm")
	fmt.Fprintln(&us, "maker,part,can_od_in,can_height_in,can_mass_oz,media_length_in,element_width_in,media_mass_oz,can_gauge_thou")
	r := rand.New(rand.NewPCG(5, 6))
	for i := range 50 {
		od, height, mass, length, width, media, gauge := 60+40*r.Float64(), 70+60*r.Float64(), 40+50*r.Float64(), 700+900*r.Float64(), 30+40*r.Float64(), 5+10*r.Float64(), 0.3+0.4*r.Float64()
		fmt.Fprintf(&metric, "Skerrow,SK-%d,%v,%v,%v,%v,%v,%v,%v\n", i, od, height, mass, length, width, media, gauge)
		const oz = 28.349523125
		fmt.Fprintf(&us, "Skerrow,SK-%d,%v,%v,%v,%v,%v,%v,%v\n", i, od/25.4, height/25.4, mass/oz, length/25.4, width/25.4, media/oz, gauge/0.0254)
	}
	a, b := mustRead(t, metric.String(), Options{}), mustRead(t, us.String(), Options{})
	for _, name := range a.Names() {
		v, w := a.Floats(name), b.Floats(name)
		for row := range v {
			if !near(v[row], w[row], 1e-12) {
				t.Fatalf("%s, row %d: %v in metric, %v in us", name, row, v[row], w[row])
			}
		}
	}
	for name, want := range map[string]string{"media_area": "in²", "pleat_depth": "mm", "can_surface": "in²", "implied_gauge": "thou"} {
		if got := b.Units().Of(name).Symbol; got != want {
			t.Errorf("%s is shown in %s, want %s", name, got, want)
		}
	}
	if !math.IsNaN(a.Repeatability("can_gauge").SD) {
		t.Error("single readings have a repeatability")
	}
}

// TestSameEachTime: the same input gives the same log.
func TestSameEachTime(t *testing.T) {
	a, b := mustRead(t, misspelt, Options{}), mustRead(t, misspelt, Options{})
	if fmt.Sprint(Spellings(a)) != fmt.Sprint(Spellings(b)) || fmt.Sprint(a.Problems()) != fmt.Sprint(b.Problems()) || wholeFrame(t, a).String() != wholeFrame(t, b).String() {
		t.Error("two readings differ")
	}
}
