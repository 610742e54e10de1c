// Package baseline is what the tool is measured beside: the plain methods of a
// spreadsheet, and oracles, who know part of what was planted and so bound what
// anybody could reach.
package baseline

import (
	"math"
	"slices"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

// Line is what plain least squares of log price on log area and date
// misses each product by, from a fit without it.
func Line(m *sim.Market) []float64 {
	d := linear.Design{Columns: make([][]float64, 2)}
	for _, p := range m.Products {
		d.Columns[0] = append(d.Columns[0], math.Log(p.Numbers[0]))
		d.Columns[1] = append(d.Columns[1], p.Opened)
	}
	return leftOut(d, m.Products)
}

// Everything is the same on all contents, blanks filled with the mean.
func Everything(m *sim.Market) []float64 { return leftOut(everything(m), m.Products) }

// everything is the design of all contents, blanks filled with the mean. Words
// have a column each but for the first in the alphabet.
func everything(m *sim.Market) linear.Design {
	d := linear.Design{}
	add := func(name string, of func(sim.Product) float64) {
		d.Names = append(d.Names, name)
		column := make([]float64, len(m.Products))
		var known []float64
		for i, p := range m.Products {
			column[i] = of(p)
			if !math.IsNaN(column[i]) {
				known = append(known, column[i])
			}
		}
		mean := num.Mean(known)
		for i, v := range column {
			if math.IsNaN(v) {
				column[i] = mean
			}
		}
		d.Columns = append(d.Columns, column)
	}
	add("opened", func(p sim.Product) float64 { return p.Opened })
	for k := range sim.NumberNames {
		add(sim.NumberNames[k], func(p sim.Product) float64 {
			if sim.NumberNames[k] == "claimed_efficiency" {
				return -math.Log(1 - p.Numbers[k]/100)
			}
			return math.Log(p.Numbers[k])
		})
	}
	for k := range sim.WordNames {
		var words []string
		seen := map[string]bool{"": true}
		for _, p := range m.Products {
			if w := p.Words[k]; !seen[w] {
				seen[w] = true
				words = append(words, w)
			}
		}
		slices.Sort(words)
		for _, w := range words[min(1, len(words)):] {
			add(w, func(p sim.Product) float64 {
				switch p.Words[k] {
				case "":
					return math.NaN()
				case w:
					return 1
				}
				return 0
			})
		}
	}
	return d
}

// leftOut is what each product is missed by, by a fit without it; nil where
// that cannot be fitted.
func leftOut(d linear.Design, products []sim.Product) []float64 {
	y := make([]float64, len(products))
	for i, p := range products {
		y[i] = p.Paid
	}
	return leftOutErrors(d, y, len(y))
}

// leftOutErrors is what each of the first n rows is missed by, by a least-squares
// fit without it; nil where that cannot be fitted.
func leftOutErrors(d linear.Design, y []float64, n int) []float64 {
	f, err := linear.LeastSquares(d, y)
	if err != nil {
		return nil
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = f.Residuals[i] / (1 - f.Leverage[i])
		if math.IsNaN(out[i]) || math.IsInf(out[i], 0) {
			return nil // a product alone decides a coefficient
		}
	}
	return out
}

// StandardErrors are the standard errors of the power of the can gauge and of the
// premium of wire backing over cellulose, by least squares on all contents of
// the clean products of a sim.
func StandardErrors(m *sim.Market) (power, premium float64, err error) {
	clean := &sim.Market{}
	var y []float64
	for _, p := range m.Products {
		if p.Clean {
			clean.Products = append(clean.Products, p)
			y = append(y, p.Paid)
		}
	}
	f, err := linear.LeastSquares(everything(clean), y)
	if err != nil {
		return 0, 0, err
	}
	gauge, paper, wire := slices.Index(f.Names, "can_gauge"), slices.Index(f.Names, sim.MediaTypes[0]), slices.Index(f.Names, sim.MediaTypes[3])
	variance := f.Cov.At(paper, paper) + f.Cov.At(wire, wire) - 2*f.Cov.At(paper, wire)
	return f.SE[gauge], math.Sqrt(variance), nil
}

// toldSpread is the standard deviation of what a content that moves prices does
// to the log price, a standard deviation of the content each.
const toldSpread = 0.1

// Told is what each product is missed by, from a fit on the other clean
// ones, by someone who has been told which products are clean, which contents
// move prices and about how much, how contents go together, and how much prices
// scatter: only the coefficients remain to be found. Nobody can have all that, so
// it bounds what a log of this size allows.
func Told(m *sim.Market) []float64 {
	var clean []int
	for i, p := range m.Products {
		if p.Clean {
			clean = append(clean, i)
		}
	}
	d := linear.Design{NoIntercept: true}
	deviation, y := make([]float64, len(clean)), make([]float64, len(clean))
	for k, i := range clean {
		p := m.Products[i]
		deviation[k] = sim.Scatter
		if m.Matter {
			deviation[k] = math.Sqrt(sim.Scatter*sim.Scatter + p.Known.Open())
		}
		y[k] = p.Paid / deviation[k]
	}
	add := func(of func(sim.Product) float64) {
		column := make([]float64, len(clean))
		for k, i := range clean {
			column[k] = of(m.Products[i]) / deviation[k]
		}
		d.Columns = append(d.Columns, column)
	}
	add(func(sim.Product) float64 { return 1 })
	add(func(p sim.Product) float64 { return math.Log(p.Numbers[0]) })
	add(func(p sim.Product) float64 { return p.Opened - sim.Middle })
	roots := make([]float64, len(d.Columns)) // of the precision known of each coefficient beforehand
	small := func(variance float64, of func(sim.Product) float64) {
		add(of)
		roots = append(roots, math.Sqrt(variance)/toldSpread)
	}
	if m.Matter {
		small(sim.GaugeVariance, func(p sim.Product) float64 { return p.Known.Gauge })
		for media := range sim.MediaTypes {
			small(sim.MediaVariance, func(p sim.Product) float64 { return p.Known.Media[media] })
		}
	}
	// What is known of a coefficient counts as one more row, which expects 0.
	for k, root := range roots {
		if root == 0 {
			continue
		}
		for j := range d.Columns {
			d.Columns[j] = append(d.Columns[j], 0)
		}
		d.Columns[k][len(y)] = root
		y = append(y, 0)
	}
	errors := leftOutErrors(d, y, len(clean))
	if errors == nil {
		return nil
	}
	out := make([]float64, len(m.Products))
	for k, i := range clean {
		out[i] = errors[k] * deviation[k]
	}
	return out
}
