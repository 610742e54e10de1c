// Package experiment answers "which product, observed once more, would reduce the
// uncertainty most?".
//
// Two quantities count equally, each by the share by which its mean variance falls:
//
//   - a line over the products, with one value per product (log price on log media
//     area). A product observed n times has weight w = 1/(b² + σ²/n), with b² the
//     variance between products and σ² that between observations of one product.
//     One more observation adds Δw and lowers the mean of x'Mx over the products by
//     Δw·x'MAMx/(1 + Δw·x'Mx), with M the inverse of Σwxx' and A the mean of xx'
//     (Sherman and Morrison; Fedorov, Theory of Optimal Experiments, 1972, on
//     choosing points by it). A product not yet observed therefore gains much, one
//     observed often very little;
//   - the makers' slopes over time within products. An observation at date T of a
//     product with n of them about the mean date t adds n/(n+1)·(T-t)² to the
//     maker's sum of squares S; the variance of the slope is σ²/(S+λ), with λ from
//     the prior variance of slopes.
//
// It does not consider what an observation costs.
package experiment

import (
	"math"

	"pleatstat/stats/num"
)

// Product is a product with its observations so far.
type Product struct {
	Maker  string  // "" = unknown: the product does not enter any maker's slope
	X      float64 // abscissa on the line; NaN = not known
	N      int     // number of observations of its value on the line
	Dates  Dates   // of its observations for the slope over time
	Closed bool    // not to be observed again
}

// Dates summarises the dates of a product's observations, in years. The zero value
// has none.
type Dates struct {
	n       int
	mean    float64
	squares float64 // about the mean
}

// Add counts one more observation, at a date in years.
func (d *Dates) Add(at float64) {
	d.n++
	step := at - d.mean
	d.mean += step / float64(d.n)
	d.squares += step * (at - d.mean)
}

// adds returns what one more observation at a date would add to the sum of squares.
func (d Dates) adds(at float64) float64 {
	n := float64(d.n)
	return n / (n + 1) * (at - d.mean) * (at - d.mean)
}

// Design holds the observations so far and the variances.
type Design struct {
	Products []Product
	// Between and Within are the variances about the line between products and
	// between observations of one product; NaN without a line.
	Between, Within float64
	At              float64 // date of the new observations, in years
	Prior           float64 // λ, in years²; 0 = slopes do not count

	line   weighted
	over   moments            // of X, over which the variance of the line is averaged
	sums   map[string]float64 // by maker, sums of squares of dates within products
	makers []string
}

// Gain is the effect of one more observation of a product: the shares by which the
// mean variance of the line falls (Line), the sum of the makers' slope variances
// (Slopes), and the slope variance of the product's own maker (Maker).
type Gain struct {
	Product             int // index into Design.Products
	Line, Slopes, Maker float64
}

// Total returns the criterion by which Choose decides.
func (g Gain) Total() float64 { return g.Line + g.Slopes }

// prepare computes the sums over the products.
func (d *Design) prepare() {
	d.sums = map[string]float64{}
	var known []float64
	for _, p := range d.Products {
		if !math.IsNaN(p.X) {
			known = append(known, p.X)
			d.line.add(p.X, d.weight(p.N))
		}
		if p.Maker != "" && p.Dates.n > 0 {
			if _, ok := d.sums[p.Maker]; !ok {
				d.makers = append(d.makers, p.Maker)
			}
			d.sums[p.Maker] += p.Dates.squares
		}
	}
	d.over = momentsOf(known)
}

// Choose returns up to n different products in order of choice, each assuming that
// those before it are observed once more; fewer if no product has a gain. It
// modifies the design.
func (d *Design) Choose(n int) []Gain {
	d.prepare()
	var out []Gain
	for range n {
		best, all := Gain{}, d.slopeVariances()
		for k := range d.Products {
			if g := d.gain(k, all); g.Total() > best.Total()*(1+1e-9) {
				best = g
			}
		}
		if best.Total() == 0 {
			break
		}
		d.take(best.Product)
		out = append(out, best)
	}
	return out
}

// weight returns the weight in the line of a product observed n times.
func (d *Design) weight(n int) float64 {
	if n == 0 || math.IsNaN(d.Between) {
		return 0
	}
	return 1 / (d.Between + d.Within/float64(n))
}

// slopeVariances returns the sum over the makers, in units of σ².
func (d *Design) slopeVariances() float64 {
	var all float64
	for _, name := range d.makers { // in a fixed order, on which the rounding depends
		all += 1 / (d.sums[name] + d.Prior)
	}
	return all
}

// gain returns the gain of one more observation of product k; slopes is the sum of
// the makers' slope variances without it.
func (d *Design) gain(k int, slopes float64) Gain {
	g, p := Gain{Product: k}, d.Products[k]
	if p.Closed {
		return g
	}
	if before := d.line.variance(d.over); !math.IsNaN(p.X) && !math.IsInf(before, 0) {
		more := d.line
		more.add(p.X, d.weight(p.N+1)-d.weight(p.N))
		g.Line = 1 - more.variance(d.over)/before
	}
	if p.Dates.n > 0 && d.Prior > 0 && p.Maker != "" {
		was, is := 1/(d.sums[p.Maker]+d.Prior), 1/(d.sums[p.Maker]+d.Prior+p.Dates.adds(d.At))
		g.Maker = 1 - is/was
		g.Slopes = (was - is) / slopes
	}
	return g
}

// take adds one observation of product k to the sums and closes it.
func (d *Design) take(k int) {
	p := &d.Products[k]
	p.Closed = true
	if !math.IsNaN(p.X) {
		d.line.add(p.X, d.weight(p.N+1)-d.weight(p.N))
	}
	if p.Dates.n > 0 && p.Maker != "" {
		d.sums[p.Maker] += p.Dates.adds(d.At)
	}
}

// weighted holds the weighted sums of the design of a straight line.
type weighted struct{ n, x, xx float64 }

func (w *weighted) add(x, weight float64) {
	w.n += weight
	w.x += weight * x
	w.xx += weight * x * x
}

// variance returns the mean of x'Mx over the values that m summarises; +Inf if the
// sums do not determine a line.
func (w weighted) variance(m moments) float64 {
	squares := w.xx - w.x*w.x/w.n
	if !(w.n > 0) || !(squares > 1e-12*w.xx) {
		return math.Inf(1)
	}
	off := m.mean - w.x/w.n
	return 1/w.n + (m.square+off*off)/squares
}

// moments are the mean of values and the mean square about it.
type moments struct{ mean, square float64 }

func momentsOf(x []float64) moments {
	m := moments{mean: num.PlainMean(x)}
	for _, v := range x {
		m.square += (v - m.mean) * (v - m.mean) / float64(len(x))
	}
	return m
}
