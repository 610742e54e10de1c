// Package experiment chooses which one more observation would teach most.
//
// Two certainties count alike, each as the share by which its mean variance falls:
//
//   - of a line of one value a product (the log price on the log media area) over
//     the products. A product observed n times weighs w = 1/(b² + σ²/n), b² the
//     variance between products, σ² that between observations of one; one more
//     adds Δw, which lowers the mean of x'Mx over the products by
//     Δw·x'MAMx/(1 + Δw·x'Mx), M the inverse of Σwxx' and A the mean of xx'
//     (Sherman and Morrison; Fedorov, Theory of Optimal Experiments, 1972, on
//     choosing points by it). So a product that is not known yet brings much,
//     one that was observed often next to nothing;
//   - of the makers' slopes over time within products: an observation of a product
//     with n of them about the mean date t adds n/(n+1)·(T-t)² to the maker's sum
//     of squares S, and the variance of the slope is σ²/(S+λ), λ from the prior
//     spread of slopes.
//
// It does not ask what an observation costs.
package experiment

import (
	"math"

	"pleatstat/stats/num"
)

// Product is what is known of one product.
type Product struct {
	Maker  string  // "" = none: it tells of no maker's slope
	X      float64 // where it lies on the line's axis; NaN = not known
	N      int     // observations of its value on the line
	Dates  Dates   // of its observations of what changes over time
	Closed bool    // not to be observed again
}

// Dates is what the dates of a product's observations say. The zero value has none.
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

// adds is what one more observation at a date adds to the sum of squares.
func (d Dates) adds(at float64) float64 {
	n := float64(d.n)
	return n / (n + 1) * (at - d.mean) * (at - d.mean)
}

// Design is what is known of both certainties.
type Design struct {
	Products []Product
	// Between and Within are the variances about the line between products and
	// between observations of one; NaN without a line.
	Between, Within float64
	At              float64 // date of the observations to come
	Prior           float64 // λ, years²; 0 = the slopes are not known about

	line   weighted
	over   moments            // of X, which the line's variance is averaged over
	sums   map[string]float64 // makers' sums of squares of dates within products
	makers []string
}

// Gain is what one more observation of a product would bring: the shares by which
// the mean variance of the line falls, the sum of the makers' slope variances, and
// that of the product's own maker.
type Gain struct {
	Product             int // place in Design.Products
	Line, Slopes, Maker float64
}

// Total is what counts.
func (g Gain) Total() float64 { return g.Line + g.Slopes }

// prepare sums up the products.
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

// Choose names up to n products, one after the other, each given that those before
// it are observed once more; fewer where nothing is left to learn.
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

// weight of a product observed n times in the line.
func (d *Design) weight(n int) float64 {
	if n == 0 || math.IsNaN(d.Between) {
		return 0
	}
	return 1 / (d.Between + d.Within/float64(n))
}

// slopeVariances is the sum over the makers, in units of σ².
func (d *Design) slopeVariances() float64 {
	var all float64
	for _, name := range d.makers { // in a fixed order: sums of doubles depend on it
		all += 1 / (d.sums[name] + d.Prior)
	}
	return all
}

// gain is what one more observation of product k would bring; slopes is the sum of
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

// take observes product k.
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

// weighted is a straight line's design as weighted sums.
type weighted struct{ n, x, xx float64 }

func (w *weighted) add(x, weight float64) {
	w.n += weight
	w.x += weight * x
	w.xx += weight * x * x
}

// variance is the mean of x'Mx over the values of m; +Inf without a line.
func (w weighted) variance(m moments) float64 {
	squares := w.xx - w.x*w.x/w.n
	if !(w.n > 0) || !(squares > 1e-12*w.xx) {
		return math.Inf(1)
	}
	off := m.mean - w.x/w.n
	return 1/w.n + (m.square+off*off)/squares
}

// moments are the mean and the mean square about it of values.
type moments struct{ mean, square float64 }

func momentsOf(x []float64) moments {
	m := moments{mean: num.PlainMean(x)}
	for _, v := range x {
		m.square += (v - m.mean) * (v - m.mean) / float64(len(x))
	}
	return m
}
