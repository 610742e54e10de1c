package page

import (
	"fmt"
	"math"
	"strconv"

	"gonum.org/v1/plot"

	"pleatstat/plots/words"
)

// linearTicks returns about want ticks at multiples of 1, 2 or 5 times a power of
// ten in display units. k is the number of display units in a base unit. It returns
// nil if max is not above min.
func linearTicks(min, max, k float64, want int) []plot.Tick {
	lo, hi := min*k, max*k
	step := NiceStep((hi-lo)/float64(want), 1)
	if !(step > 0) || math.IsInf(step, 0) {
		return nil
	}
	decimals := int(math.Max(0, -math.Floor(math.Log10(step)+1e-9)))
	var ticks []plot.Tick
	for i := math.Ceil(lo/step - 1e-9); i*step <= hi+step*1e-9; i++ {
		// Rounded to the decimals of the step, so that 3 × 0.1 gives 0.3.
		v, err := strconv.ParseFloat(strconv.FormatFloat(i*step, 'f', decimals, 64), 64)
		if err != nil {
			return ticks
		}
		label := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
		if math.Abs(v) >= 1000 {
			label = words.Number(math.Abs(v))
		}
		if v < 0 {
			label = words.Minus + label
		}
		ticks = append(ticks, plot.Tick{Value: i * step / k, Label: label})
	}
	return ticks
}

// NiceStep returns the smallest of 1, 2 or 5 times a power of ten that is at least
// x × slack; NaN unless x is positive and finite.
func NiceStep(x, slack float64) float64 {
	if !(x > 0) || math.IsInf(x, 0) {
		return math.NaN()
	}
	p := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range [...]float64{1, 2, 5, 10} {
		if m*p >= x*slack*(1-1e-9) {
			return m * p
		}
	}
	return 10 * p
}

// fewTicks is the number of ticks below which a finer set is tried.
const fewTicks = 4

// logTicks returns at most want ticks for a logarithmic axis, at 1, 2 and 5 times
// powers of ten; at a finer set if those are fewer than fewTicks, and at powers of
// ten alone if they are more than want. An axis that spans less than a factor of 2
// gets linear ticks. It returns nil unless 0 < min < max.
func logTicks(min, max, k float64, want int) []plot.Tick {
	lo, hi := min*k, max*k
	if !(lo > 0) || !(hi > lo) || math.IsInf(hi, 0) {
		return nil
	}
	if hi/lo < 2 { // a logarithmic axis this short is nearly linear
		return linearTicks(min, max, k, want)
	}
	sets := [][]float64{{1, 2, 5}, {1, 2, 3, 5, 7}, {1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8}}
	values := decadeValues(sets[0], lo, hi)
	for _, finer := range sets[1:] {
		if len(values) >= fewTicks {
			break
		}
		if v := decadeValues(finer, lo, hi); len(v) <= want {
			values = v
		}
	}
	if len(values) > want {
		values = decadeValues([]float64{1}, lo, hi)
	}
	every := (len(values) + want - 1) / want
	var ticks []plot.Tick
	for i, v := range values {
		if i%every == 0 {
			ticks = append(ticks, plot.Tick{Value: v / k, Label: words.Significant(v, 6)})
		}
	}
	return ticks
}

// between returns the positions of the unlabelled ticks of a logarithmic axis, in
// base units. Their uneven spacing shows that the axis is logarithmic. It returns
// nil for an axis of more than four decades.
func between(min, max, k float64) []float64 {
	lo, hi := min*k, max*k
	if !(lo > 0) || !(hi > lo) || math.IsInf(hi, 0) || hi/lo > 1e4 {
		return nil
	}
	set := []float64{1, 2, 3, 4, 5, 6, 7, 8, 9}
	if hi/lo < 10 {
		set = nil
		for m := 10; m < 100; m++ {
			if m < 20 || m < 50 && m%2 == 0 || m >= 50 && m%5 == 0 {
				set = append(set, float64(m)/10)
			}
		}
	}
	values := decadeValues(set, lo, hi)
	for i := range values {
		values[i] /= k
	}
	return values
}

func decadeValues(set []float64, lo, hi float64) []float64 {
	var out []float64
	for d := math.Floor(math.Log10(lo)); d <= math.Ceil(math.Log10(hi)); d++ {
		for _, m := range set {
			if v := m * math.Pow(10, d); v >= lo*(1-1e-12) && v <= hi*(1+1e-12) {
				out = append(out, v)
			}
		}
	}
	return out
}

// EvenTicks returns ticks at zero and at the same round number on either side,
// within the frame of an axis from -reach to reach.
func EvenTicks(reach, k float64) []plot.Tick {
	const within = 0.85 // of the half frame
	step := NiceStep(reach*k*within/2.5, 1)
	for NiceStep(step*1.01, 1) <= reach*k*within {
		step = NiceStep(step*1.01, 1)
	}
	var ticks []plot.Tick
	for _, t := range linearTicks(-step/k, step/k, k, 2) {
		if math.Abs(t.Value) < step/k*0.01 || math.Abs(t.Value) > step/k*0.99 {
			ticks = append(ticks, t)
		}
	}
	return ticks
}

// YearTicks returns about want ticks at whole years.
func YearTicks(min, max float64, want int) []plot.Tick {
	step := math.Max(1, NiceStep((max-min)/float64(want), 1))
	ticks := []plot.Tick{}
	for y := math.Ceil(min/step) * step; y <= max; y += step {
		ticks = append(ticks, plot.Tick{Value: y, Label: fmt.Sprint(int(y))})
	}
	return ticks
}
