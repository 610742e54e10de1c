package main

import (
	"bytes"
	"math"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/dataset"
	"pleatstat/stats/pool"
)

// scatterRows is the number of openings from which the true scatter is estimated.
const scatterRows = 6000

// cleanDemo returns a log of the demo log's generator with nothing planted.
func cleanDemo(seed uint64) (*dataset.Log, error) {
	var text bytes.Buffer
	if _, err := sim.Workshop(&text, sim.WorkshopOptions{Rows: scatterRows, Parts: sim.DemoParts, Seed: seed, Clean: true}); err != nil {
		return nil, err
	}
	return dataset.Read(&text, "alike.csv", dataset.Options{})
}

// scatterOfOpenings is the standard deviation of a measure between openings of
// one part: in mm for a gauge (absolute), otherwise of the logarithm and so a
// fraction of its value.
type scatterOfOpenings struct {
	sd       float64
	absolute bool
}

func (s scatterOfOpenings) of(values []float64, rows []int) float64 {
	if s.absolute {
		return s.sd
	}
	sum, n := 0.0, 0.0
	for _, row := range rows {
		if v := values[row]; !math.IsNaN(v) {
			sum, n = sum+v, n+1
		}
	}
	return s.sd * sum / max(n, 1)
}

// scatters returns the pooled standard deviation within parts of every plantable
// measure.
func scatters(log *dataset.Log) map[string]scatterOfOpenings {
	out := map[string]scatterOfOpenings{}
	for _, name := range plantable {
		s := scatterOfOpenings{absolute: name == "can_gauge"}
		parts := make([][]float64, log.Products())
		for row, v := range log.Floats(name) {
			if !s.absolute {
				v = math.Log(v)
			}
			if !math.IsNaN(v) {
				parts[log.Product(row)] = append(parts[log.Product(row)], v)
			}
		}
		variance, _ := pool.Within(parts)
		s.sd = math.Sqrt(variance)
		out[name] = s
	}
	return out
}
