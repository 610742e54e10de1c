// Package baseline holds the methods with which the tool is compared: plain
// methods such as a spreadsheet offers, and oracles, which are given part of the
// truth and so bound what any method can reach.
package baseline

import (
	"math"
	"slices"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

// Line returns the leave-one-out error of the log price of each product by least
// squares on log area and date; nil if that cannot be fitted.
func Line(m *sim.Market) []float64 {
	d := linear.Design{Columns: make([][]float64, 2)}
	for _, p := range m.Products {
		d.Columns[0] = append(d.Columns[0], math.Log(p.Numbers[0]))
		d.Columns[1] = append(d.Columns[1], p.Opened)
	}
	return leftOut(d, m.Products)
}

// Everything is like Line but uses all contents, with blanks filled by the mean.
func Everything(m *sim.Market) []float64 { return leftOut(everything(m), m.Products) }

// everything returns the design of date and all contents, with blanks filled by
// the mean. Each category but the alphabetically first one has an indicator
// column.
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

// leftOut returns the leave-one-out errors of the products' log prices by least
// squares; nil if they cannot be computed.
func leftOut(d linear.Design, products []sim.Product) []float64 {
	y := make([]float64, len(products))
	for i, p := range products {
		y[i] = p.Paid
	}
	return leftOutErrors(d, y, len(y))
}

// leftOutErrors returns the leave-one-out errors of the first n rows by least
// squares, computed from residuals and leverage; nil if the fit fails or a row
// has leverage 1.
func leftOutErrors(d linear.Design, y []float64, n int) []float64 {
	f, err := linear.LeastSquares(d, y)
	if err != nil {
		return nil
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = f.Residuals[i] / (1 - f.Leverage[i])
		if math.IsNaN(out[i]) || math.IsInf(out[i], 0) {
			return nil // this row alone determines a coefficient
		}
	}
	return out
}

// StandardErrors returns the standard errors of the exponent of the can gauge and
// of the premium of wire-backed synthetic over cellulose, by least squares on all
// contents of the clean products of a market.
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

// effectSD is the prior standard deviation of the effect on the log price of a
// content changed by one standard deviation.
const effectSD = 0.1

// PriceOracle returns the leave-one-out errors of the log prices of the clean products
// by an oracle; 0 for other products, nil if it cannot be fitted. The oracle
// knows which products are clean, on which contents prices depend and the size of
// such effects, the joint distribution of contents and the scatter of prices, and
// estimates only the coefficients. Its errors are a bound of what is possible
// with a log of this size.
func PriceOracle(m *sim.Market) []float64 {
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
	roots := make([]float64, len(d.Columns)) // square root of the prior precision of each coefficient
	small := func(variance float64, of func(sim.Product) float64) {
		add(of)
		roots = append(roots, math.Sqrt(variance)/effectSD)
	}
	if m.Matter {
		small(sim.GaugeVariance, func(p sim.Product) float64 { return p.Known.Gauge })
		for media := range sim.MediaTypes {
			small(sim.MediaVariance, func(p sim.Product) float64 { return p.Known.Media[media] })
		}
	}
	// A normal prior with mean 0 is equivalent to one more row for the coefficient.
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
