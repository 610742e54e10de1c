package price

import (
	"testing"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/dataset"
)

func BenchmarkDemo(b *testing.B) {
	log, err := dataset.ReadFile(demo, dataset.Options{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		fitted(b, log, Options{}).All()
	}
}

func Benchmark20000Products(b *testing.B) {
	log, err := sim.NewMarket(sim.MarketOptions{Rows: 100_000, Reopened: 0.8, Blanks: 0.4, Overpriced: 0.05, Matter: true, Seed: 1}).Log()
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		fitted(b, log, Options{}).All()
	}
}
