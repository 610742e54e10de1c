package plots

import (
	"testing"

	"pleatstat/stats/trend"
)

func benchmarkRender(b *testing.B, o Options, make func() (*Chart, error)) {
	b.ReportAllocs()
	var painter Painter // as a report draws: one chart after another
	for b.Loop() {
		c, err := make()
		if err != nil {
			b.Fatal(err)
		}
		if _, err := painter.Render(c, o); err != nil {
			b.Fatal(err)
		}
	}
}

func trendMaker(t *trend.Trend, flags []trend.Flag) func() (*Chart, error) {
	return func() (*Chart, error) { return Trend(t, flags, harbourSource()) }
}

func BenchmarkTrend300PNG(b *testing.B) {
	benchmarkRender(b, Options{}, trendMaker(priceTrend(300)))
}

func BenchmarkTrend300SVG(b *testing.B) {
	benchmarkRender(b, Options{Format: SVG}, trendMaker(priceTrend(300)))
}

func BenchmarkTrend300PDF(b *testing.B) {
	benchmarkRender(b, Options{Format: PDF}, trendMaker(priceTrend(300)))
}

func BenchmarkTrend4000PNG(b *testing.B) {
	benchmarkRender(b, Options{}, trendMaker(priceTrend(4000)))
}

func BenchmarkTrendMillionPNG(b *testing.B) {
	benchmarkRender(b, Options{}, trendMaker(priceTrend(1_000_000)))
}

func BenchmarkDriftPNG(b *testing.B) {
	entries := harbourDrift()
	benchmarkRender(b, Options{}, func() (*Chart, error) { return Drift(entries, "can_gauge", harbourSource()) })
}
