package latest

import (
	"context"
	"testing"

	"pleatstat/dataset"
	"pleatstat/stats/card"
)

// The weekly loop on the demo log: all but reading and writing.
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
