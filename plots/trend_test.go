package plots

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image/png"
	"io"
	"math"
	"reflect"
	"strings"
	"sync"
	"testing"

	"pleatstat/plots/words"
	"pleatstat/stats/trend"
)

func mustTrend(t *testing.T, tr *trend.Trend, flags []trend.Flag) *Chart {
	t.Helper()
	c, err := Trend(tr, flags, harbourSource())
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestTrendTitleStatesTheFinding(t *testing.T) {
	price, priceFlags := priceTrend(58)
	gauge, _ := gaugeTrend(44)
	pleats, pleatFlags := pleatTrend(40)
	flat := *gauge
	flat.Line.SlopeLow, flat.Line.SlopeHigh = -0.1, 0.3
	only := func(kind trend.FlagKind) (out []trend.Flag) {
		for _, f := range priceFlags {
			if f.Kind == kind {
				out = append(out, f)
			}
		}
		return out
	}
	steady := *pleats
	steady.Points = steady.Points[10:]
	for _, c := range []struct {
		name  string
		trend *trend.Trend
		flags []trend.Flag
		want  string
	}{
		{"dear and cheap", price, priceFlags, "Pellbrook FK-113, Skerrow CR-939 and Thornquay ZO-593 cost more than their contents usually do, Lowmere IH-561 less"},
		{"dear", price, only(trend.Overpriced), "Pellbrook FK-113, Skerrow CR-939 and Thornquay ZO-593 cost more than their contents usually do"},
		{"cheap", price, only(trend.Bargain), "Lowmere IH-561 costs less than its contents usually do"},
		// 2^0.85 = 1.80
		{"none off", price, nil, "Twice the media area costs about 1.8 times as much; no filter costs clearly more or less"},
		// 1.1^0.6 = 1.0588
		{"slope", gauge, nil, "A tenth more can mass goes with about 5.9\u00a0% more can gauge"},
		{"no slope", &flat, nil, "From these 44 products it cannot be told whether can gauge goes with can mass"},
		{"off", pleats, pleatFlags, "Wexcombe PN-551 and Thornquay IC-250 have an unusual pleat count for their element width"},
		// −0.9 a millimetre is −4.57 for 0.2 in (5.08 mm)
		{"straight", &steady, nil, "Each 0.2\u00a0in more element width goes with about 4.6 fewer pleats"},
	} {
		if got := mustTrend(t, c.trend, c.flags).Title; got != c.want {
			t.Errorf("%s: title %q, want %q", c.name, got, c.want)
		}
	}
}

// The corner must count the openings behind the points, not those of the log, and
// only once if each point is an opening.
func TestTheCornerCountsWhatIsDrawn(t *testing.T) {
	products, _ := priceTrend(58)
	behind := 0
	for i := range products.Points {
		products.Points[i].N = 1 + i%3
		behind += products.Points[i].N
	}
	single := *products
	single.Per = trend.PerOpening
	for _, c := range []struct {
		trend *trend.Trend
		want  string
	}{
		{products, fmt.Sprintf("58 products, %d openings", behind)},
		{&single, "58 openings"},
	} {
		chart := mustTrend(t, c.trend, nil)
		got := chart.counted
		if chart.Source.Openings > 0 {
			got += ", " + words.Figures(chart.Source.Openings, "opening", "openings")
		}
		if got = strings.ReplaceAll(got, words.NBSP, " "); got != c.want {
			t.Errorf("the corner counts %q, want %q", got, c.want)
		}
	}
}

func TestTrendIgnoresOtherTrendsFlags(t *testing.T) {
	tr, flags := priceTrend(58)
	for i := range flags {
		flags[i].Trend = "can_gauge-can_mass"
	}
	if got := mustTrend(t, tr, flags).Title; !strings.Contains(got, "no filter") {
		t.Errorf("title %q speaks of another trend's flags", got)
	}
}

func TestTrendWithNothingToDraw(t *testing.T) {
	tr, _ := priceTrend(20)
	few := &trend.Trend{Definition: tr.Definition, TooFew: true, N: 2, Needed: 6}
	empty := &trend.Trend{Definition: tr.Definition}
	bad := *tr
	bad.Points = []trend.Point{{X: math.NaN(), Y: 1}, {X: 1, Y: math.Inf(1)}, {X: -1, Y: 2}, {X: 0, Y: 0}}
	for _, tr := range []*trend.Trend{nil, few, empty, &bad} {
		if _, err := Trend(tr, nil, harbourSource()); !errors.Is(err, ErrNothingToDraw) {
			t.Errorf("Trend: error %v, want ErrNothingToDraw", err)
		}
	}
	if _, err := Render(nil, Options{}); !errors.Is(err, ErrNothingToDraw) {
		t.Errorf("Render(nil): error %v", err)
	}
}

// Missing values, single points, identical points and a band of NaN must be drawn
// without an error.
func TestTrendDrawsOddData(t *testing.T) {
	tr, flags := priceTrend(30)
	holes := *tr
	holes.Points = append([]trend.Point(nil), tr.Points...)
	holes.Points[3].Y = math.NaN()
	holes.Points[5].X = math.Inf(-1)
	holes.Points[7].Low = math.NaN()
	holes.Band = []trend.BandPoint{{X: 200, Fit: math.NaN()}, {X: 300, Fit: 3, Low: -1, High: 5}}
	one := *tr
	one.Points = tr.Points[:1]
	same := *tr
	same.Points = []trend.Point{tr.Points[1], tr.Points[1], tr.Points[1]}
	huge := *tr
	huge.Points = append([]trend.Point(nil), tr.Points...)
	huge.Points[0].X, huge.Points[1].Y = 1e300, 1e-300
	for name, tr := range map[string]*trend.Trend{"holes": &holes, "one": &one, "same": &same, "huge": &huge} {
		for _, format := range []Format{PNG, SVG, PDF} {
			c, err := Trend(tr, flags, Source{})
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if b, err := Render(c, Options{Format: format, Size: Size{480, 270}}); err != nil || len(b) == 0 {
				t.Errorf("%s %s: %d bytes, error %v", name, format, len(b), err)
			}
		}
	}
}

func TestTrendLeavesItsInputAlone(t *testing.T) {
	tr, flags := priceTrend(80)
	trBefore, flagsBefore := priceTrend(80)
	if _, err := Render(mustTrend(t, tr, flags), Options{Size: Size{480, 270}}); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(tr, trBefore) || !reflect.DeepEqual(flags, flagsBefore) {
		t.Error("the trend or its flags were modified")
	}
}

func TestRenderIsReproducible(t *testing.T) {
	tr, flags := priceTrend(120)
	c := mustTrend(t, tr, flags)
	for _, format := range []Format{PNG, SVG, PDF} {
		o := Options{Format: format, Size: Size{640, 360}}
		first, err := Render(c, o)
		if err != nil {
			t.Fatal(err)
		}
		var wg sync.WaitGroup
		for range 4 {
			wg.Go(func() {
				if again, err := Render(c, o); err != nil || !bytes.Equal(first, again) {
					t.Errorf("%s: a second drawing differs (error %v)", format, err)
				}
			})
		}
		wg.Wait()
	}
}

func TestRenderSizesAndBackground(t *testing.T) {
	tr, flags := priceTrend(30)
	c := mustTrend(t, tr, flags)
	for _, transparent := range []bool{false, true} {
		b, err := Render(c, Options{Size: Size{500, 300}, Transparent: transparent, Title: "Our\x1b[31m title"})
		if err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		if size := img.Bounds().Size(); size.X != 500 || size.Y != 300 {
			t.Errorf("size %v, want 500×300", size)
		}
		if _, _, _, a := img.At(0, 0).RGBA(); (a == 0) != transparent {
			t.Errorf("transparent %v: corner has opacity %d", transparent, a)
		}
	}
}

func TestHostileNamesStayText(t *testing.T) {
	tr, flags := priceTrend(58)
	evil := []string{`<script>alert("x")</script>`, "]]>&lt;", "\x1b[31mred\x00\u202e", strings.Repeat("W", 400), "漢字 🛢", ""}
	for i := range flags {
		for j := range tr.Points {
			if tr.Points[j].Lines[0] == flags[i].Lines[0] {
				tr.Points[j].Maker, tr.Points[j].Part = evil[i%len(evil)], ""
			}
		}
		flags[i].Maker, flags[i].Part = evil[i%len(evil)], ""
	}
	source := harbourSource()
	source.File = `/tmp/<b>&"logs"/` + strings.Repeat("long", 90) + ".csv"
	c, err := Trend(tr, flags, source)
	if err != nil {
		t.Fatal(err)
	}
	b, err := Render(c, Options{Format: SVG})
	if err != nil {
		t.Fatal(err)
	}
	d := xml.NewDecoder(bytes.NewReader(b))
	hints := 0
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("the SVG is not well formed: %v", err)
		}
		if e, ok := token.(xml.StartElement); ok {
			switch e.Name.Local {
			case "title":
				hints++
			case "svg", "desc", "g", "path", "text":
			default:
				t.Errorf("element <%s> in the SVG", e.Name.Local)
			}
		}
	}
	if hints != 1+len(tr.Points) {
		t.Errorf("%d titles, want one of the picture and one of each of %d points", hints, len(tr.Points))
	}
	if bytes.ContainsAny(b, "\x00\x1b") || bytes.Contains(b, []byte("\u202e")) {
		t.Error("control characters reached the file")
	}
	for _, format := range []Format{PNG, PDF} {
		if _, err := Render(c, Options{Format: format, Size: Size{640, 360}}); err != nil {
			t.Errorf("%s: %v", format, err)
		}
	}
	for _, size := range screenSizes() {
		checkLayout(t, c, size)
	}
}

// At most twelve points are named; the others must be counted in the footer.
func TestManyFlagsAreCounted(t *testing.T) {
	tr, _ := priceTrend(200)
	var flags []trend.Flag
	for _, p := range tr.Points[:60] {
		flags = append(flags, trend.Flag{Kind: trend.Overpriced, Grade: trend.Clear, Trend: tr.ID,
			Maker: p.Maker, Part: p.Part, Lines: p.Lines, Ratio: p.Y / p.Expected})
	}
	c := mustTrend(t, tr, flags)
	b, err := Render(c, Options{Format: SVG})
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(b, []byte("and 48 more off the line, not named")) {
		t.Error("the 48 flags beyond twelve are not counted")
	}
	checkLayout(t, c, DefaultSize())
}

func TestTrendLayout(t *testing.T) {
	for _, make := range []func(int) (*trend.Trend, []trend.Flag){priceTrend, gaugeTrend, pleatTrend} {
		for _, n := range []int{3, 12, 60, 400} {
			tr, flags := make(n)
			for _, size := range screenSizes() {
				checkLayout(t, mustTrend(t, tr, flags), size)
			}
		}
	}
}
