package plots

import (
	"bytes"
	"flag"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"pleatstat/stats/trend"
)

// update rewrites the stored pictures: go test ./plots -run Golden -update,
// then look at every picture that changed.
var update = flag.Bool("update", false, "rewrite the stored pictures")

// goldenSize is the size of the stored pictures. It is small to save space; the
// layout is the same at 1920×1080.
func goldenSize() Size { return Size{Width: 640, Height: 360} }

func TestGoldenCharts(t *testing.T) {
	price, priceFlags := priceTrend(58)
	pleats, pleatFlags := pleatTrend(40)
	dense, denseFlags := priceTrend(20_000)
	s := harbourSource()
	charts := map[string]func() (*Chart, error){
		"trend_price":   func() (*Chart, error) { return Trend(price, priceFlags, s) },
		"trend_pleats":  func() (*Chart, error) { return Trend(pleats, pleatFlags, s) },
		"trend_dense":   func() (*Chart, error) { return Trend(dense, denseFlags, s) },
		"drift":         func() (*Chart, error) { return Drift(harbourDrift(), "can_gauge", s) },
		"prices":        func() (*Chart, error) { return Prices(judgements(40), s) },
		"contributions": func() (*Chart, error) { return Contributions(judgements(3)[2], s) },
		"compare":       func() (*Chart, error) { return Compare(comparison(3, 7), s) },
	}
	for name, make := range charts {
		for _, o := range []Options{
			{Size: goldenSize(), Format: SVG},
			{Size: Size{Width: 360, Height: 640}, Theme: Dark, Format: SVG},
		} {
			file := filepath.Join("..", "testdata", "plots", name+".svg")
			if o.Theme == Dark {
				file = filepath.Join("..", "testdata", "plots", name+"_upright_dark.svg")
			}
			t.Run(filepath.Base(file), func(t *testing.T) {
				c, err := make()
				if err != nil {
					t.Fatal(err)
				}
				got, err := Render(c, o)
				if err != nil {
					t.Fatal(err)
				}
				compareGolden(t, file, got)
			})
		}
	}
}

// compareGolden compares the text of two SVG files, in which every mark, digit and
// word has a line that differs if it changes.
func compareGolden(t *testing.T, file string, got []byte) {
	t.Helper()
	if *update {
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v (make it with -update)", err)
	}
	if n := firstDifference(want, got); n > 0 {
		t.Errorf("%s: line %d is\n\t%s\nwhere it was\n\t%s", file, n, lineOf(got, n), lineOf(want, n))
	}
}

// firstDifference returns the number of the first line in which two texts differ, 0
// if they are the same.
func firstDifference(a, b []byte) int {
	if bytes.Equal(a, b) {
		return 0
	}
	for n := 1; ; n++ {
		if lineOf(a, n) != lineOf(b, n) {
			return n
		}
	}
}

func lineOf(text []byte, n int) string {
	lines := bytes.SplitAfterN(text, []byte("\n"), n+1)
	if n > len(lines) {
		return ""
	}
	line := string(lines[n-1])
	return line[:min(len(line), 300)]
}

// The comparison must detect a flag without its mark, a point that moved and another
// digit in a title.
func TestGoldensSeeEveryChange(t *testing.T) {
	draw := func(title string, change func(*trend.Trend, []trend.Flag) []trend.Flag) []byte {
		tr, flags := priceTrend(58)
		c, err := Trend(tr, change(tr, flags), harbourSource())
		if err != nil {
			t.Fatal(err)
		}
		b, err := Render(c, Options{Size: goldenSize(), Title: title, Format: SVG})
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	as := func(_ *trend.Trend, flags []trend.Flag) []trend.Flag { return flags }
	want := draw("Costs 1.8 times as much", as)
	if n := firstDifference(want, draw("Costs 1.8 times as much", as)); n != 0 {
		t.Errorf("the same chart differs in line %d", n)
	}
	for what, got := range map[string][]byte{
		"a flag without its mark": draw("Costs 1.8 times as much", func(_ *trend.Trend, flags []trend.Flag) []trend.Flag { return flags[1:] }),
		"a digit of the title":    draw("Costs 1.9 times as much", as),
		"a point half a pixel off": draw("Costs 1.8 times as much", func(tr *trend.Trend, flags []trend.Flag) []trend.Flag {
			tr.Points[30].Y *= 1.005
			return flags
		}),
	} {
		if firstDifference(want, got) == 0 {
			t.Errorf("%s: no line differs", what)
		}
	}
}

// A PNG must have clearly more pixels of a flag's colour with the flag than without
// it.
func TestMarksAreInThePixels(t *testing.T) {
	pixels := func(theme Theme, kinds ...trend.FlagKind) map[trend.FlagKind]int {
		tr, flags := priceTrend(58)
		flags = slices.DeleteFunc(flags, func(f trend.Flag) bool { return !slices.Contains(kinds, f.Kind) })
		c, err := Trend(tr, flags, harbourSource())
		if err != nil {
			t.Fatal(err)
		}
		b, err := Render(c, Options{Size: Size{Width: 1920, Height: 1080}, Theme: theme})
		if err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		th := theme.colours()
		count := map[trend.FlagKind]int{}
		box := img.Bounds()
		for y := box.Min.Y; y < box.Max.Y; y++ {
			for x := box.Min.X; x < box.Max.X; x++ {
				switch color.NRGBAModel.Convert(img.At(x, y)).(color.NRGBA) {
				case th.Above:
					count[trend.Overpriced]++
				case th.Below:
					count[trend.Bargain]++
				}
			}
		}
		return count
	}
	for _, theme := range []Theme{Light, Dark} {
		none := pixels(theme)
		both := pixels(theme, trend.Overpriced, trend.Bargain)
		for _, kind := range []trend.FlagKind{trend.Overpriced, trend.Bargain} {
			if both[kind]-none[kind] < 50 {
				t.Errorf("%s: %d pixels show what is %s, %d where nothing is flagged", theme, both[kind], kind, none[kind])
			}
			if one := pixels(theme, kind); one[kind] <= none[kind] {
				t.Errorf("%s: no pixel shows what is %s", theme, kind)
			}
		}
	}
}
