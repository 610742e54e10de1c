package check

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/dataset"
	"pleatstat/stats/num"
	"pleatstat/stats/trend"
)

const (
	// CalibrationCans is the least number of cans from which the calibration is
	// estimated. (A 95 % interval of a median needs six.)
	CalibrationCans = 8

	// CalibrationOff is the relative deviation of the measured gauges from those
	// implied by mass, size and material beyond which the bench is doubted.
	CalibrationOff = trend.GaugeAgrees

	calibrationConfidence = trend.Confidence
)

// Calibration compares all measured can gauges of a bench with the gauges that
// the mass, size and material of the cans imply.
type Calibration struct {
	Cans       int     `json:"cans"`  // cans with gauge, mass, diameter and height
	Ratio      float64 `json:"ratio"` // median of measured over implied gauge; NaN below CalibrationCans
	Low        float64 `json:"low"`   // its 95 % interval
	High       float64 `json:"high"`
	Difference float64 `json:"difference"` // median of measured minus implied gauge, mm
	Off        bool    `json:"off"`        // the whole interval deviates by more than CalibrationOff
}

// calibration compares the bench's micrometer with its scale. The interval is
// that of the sign test, between two order statistics (from memory: David and
// Nagaraja, Order Statistics, 7.1); it assumes independent cans.
func calibration(t *table, f *findings) Calibration {
	c := Calibration{Ratio: math.NaN(), Low: math.NaN(), High: math.NaN(), Difference: math.NaN()}
	for _, m := range []measure{canGauge, canMass, canOD, canHeight} {
		if t.value[m] == nil {
			return c
		}
	}
	var ratios, differences []float64
	x := t.blank
	for _, i := range t.sample() {
		t.load(i, &x)
		if implied := impliedGauge(&x); x[canGauge] > 0 && implied > 0 {
			ratios, differences = append(ratios, x[canGauge]/implied), append(differences, x[canGauge]-implied)
		}
	}
	c.Cans = len(ratios)
	if c.Cans < CalibrationCans {
		return c
	}
	slices.Sort(ratios)
	slices.Sort(differences)
	k := ordered(c.Cans)
	c.Ratio, c.Low, c.High = num.QuantileSorted(ratios, 0.5), ratios[k], ratios[c.Cans-1-k]
	c.Difference = num.QuantileSorted(differences, 0.5)
	c.Off = c.Low > 1+CalibrationOff || c.High < 1/(1+CalibrationOff)
	if c.Off {
		header, number := t.log.Header(canGauge.column())
		more := "more"
		if c.Difference < 0 {
			more = "less"
		}
		f.problems = append(f.problems, dataset.Problem{
			File: t.log.File(), Column: number, Name: canGauge.column(), Text: header, Severity: dataset.Doubtful,
			Message: fmt.Sprintf("over %d cans the gauges are %s what mass, size and material make of them, %s %s in the middle: check the zero of the micrometer, paint left on the wall, and the scale",
				c.Cans, times(c.Ratio), t.show(canGauge, math.Abs(c.Difference)), more),
		})
	}
	return c
}

// ordered returns the 0-based rank, counted from either end, of the order
// statistics that bound the interval of the median of n readings.
func ordered(n int) int {
	b := distuv.Binomial{N: float64(n), P: 0.5}
	k := 0
	for k+1 < n/2 && 2*b.CDF(float64(k)) <= 1-calibrationConfidence {
		k++
	}
	if k > 0 {
		k--
	}
	return k
}
