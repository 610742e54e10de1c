package report

import (
	"bytes"
	"context"
	"fmt"
	"testing"

	"pleatstat/dataset"
	"pleatstat/stats/check"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// BenchmarkStages times each stage of a report, and all but the charts, on logs
// of three sizes; the largest takes a minute.
func BenchmarkStages(b *testing.B) {
	for _, size := range [][2]int{{300, 60}, {100_000, 5000}, {1_000_000, 20_000}} {
		b.Run(fmt.Sprint(size[0]), func(b *testing.B) {
			text := generated(b, size[0], size[1])
			log := readText(b, text)
			checked, err := check.Run(log, check.Options{})
			if err != nil {
				b.Fatal(err)
			}
			sound := log.SetAside(checked.SetAside)
			for _, stage := range []struct {
				name string
				run  func() error
			}{
				{"read", func() error {
					_, err := dataset.Read(bytes.NewReader(text), "pooled.csv", dataset.Options{})
					return err
				}},
				{"check", func() error { _, err := check.Run(log, check.Options{}); return err }},
				{"trend", func() error { _, err := trend.FitAll(sound, trend.Options{}); return err }},
				{"price", func() error {
					m, err := price.Fit(sound, price.Options{})
					if err == nil {
						m.All()
					}
					return err
				}},
				{"drift", func() error { _, err := drift.Analyse(sound, drift.Options{}); return err }},
				{"all", func() error { _, err := Build(context.Background(), log, Options{}); return err }},
			} {
				b.Run(stage.name, func(b *testing.B) {
					b.ReportAllocs()
					for b.Loop() {
						if err := stage.run(); err != nil {
							b.Fatal(err)
						}
					}
				})
			}
		})
	}
}
