package latest

import (
	"context"
	"testing"

	"pleatstat/dataset"
	"pleatstat/stats/card"
)

// BenchmarkLatest times the weekly use on the demo log, without reading and
// output.
func BenchmarkLatest(b *testing.B) {
	log, err := dataset.ReadFile("../../testdata/demo/harbour.csv", dataset.Options{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		basis, err := card.Prepare(context.Background(), log, card.Options{})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := Build(basis, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
