package check

import (
	"bytes"
	"testing"

	"pleatstat/dataset"
)

// BenchmarkRun checks a log of a million openings of 20,000 parts with a thousand
// slips in it.
func BenchmarkRun(b *testing.B) {
	text := generate(b, generator(b), "-rows", "1000000", "-parts", "20000")
	log, err := dataset.Read(bytes.NewReader(text), "big.csv", dataset.Options{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Run(log, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
