package roundup

import (
	"math"

	"pleatstat/stats/num"
)

const (
	// toOpen candidates are named.
	toOpen = 5
	// nextAt is when the openings of next year are expected: in its middle.
	nextAt = 1.5
	// slopePrior is the spread of yearly changes of can gauge believed possible
	// before a maker's parts were opened twice, mm a year: common practice, no
	// source.
	slopePrior = 0.02
)

// next names the five products whose one more opening next year would teach
// most, none whose name may be a slip of the pen. Two certainties count alike, each as the share by which its mean
// variance falls:
//
//   - of the price line (log price on log media area) over the log's products.
//     A product opened n times weighs w = 1/(b² + σ²/n), b² the variance
//     between products, σ² that between openings of one; one more opening adds
//     Δw, which lowers the mean of x'Mx over the products by
//     Δw·x'MAMx/(1 + Δw·x'Mx), M the inverse of Σwxx' and A the mean of xx'
//     (Sherman and Morrison; Fedorov, Theory of Optimal Experiments, 1972, on
//     choosing points by it). So a part whose price or area is not known yet
//     brings much, one that was measured often next to nothing;
//   - of the makers' yearly change of can gauge within parts: an opening of a
//     part with n openings about the mean date t adds n/(n+1)·(T-t)² to the
//     maker's sum of squares S, and the variance of the slope is σ²/(S+λ), λ
//     from the prior spread of slopes.
//
// The five are chosen one after the other, each given those before it.
func (b *bench) next() []Candidate {
	d := b.design()
	var out []Candidate
	for range toOpen {
		best, c, all := -1, Candidate{}, d.slopeVariances()
		for k := range d.parts {
			if g := d.gain(k, all); g.Gain > c.Gain*(1+1e-9) {
				best, c = k, g
			}
		}
		if best < 0 {
			break
		}
		p := b.products[best]
		c.Maker, c.Part = p.maker, p.part
		for _, i := range p.openings {
			if o := b.rows[i]; b.upToNow(o) {
				c.Opened++
				c.Last = o.year
			}
		}
		d.take(best)
		out = append(out, c)
	}
	return out
}

// design is what is known of both certainties.
type design struct {
	parts []candidate
	line  weighted
	over  moments // log areas of the products the line's variance is averaged over
	// between and within are the variances of the log price between products
	// and between openings of one; NaN without a line.
	between, within float64
	at              float64            // date of the openings to come
	prior           float64            // λ; 0 = the noise of can gauge is not known
	sums            map[string]float64 // makers' sums of squares of dates within parts
	makers          []string
}

// candidate is what is known of one product.
type candidate struct {
	maker  string
	size   float64 // log media area, NaN = not known or not to be opened again
	priced int     // openings with price and area
	dates  partDates
	taken  bool
}

func (b *bench) design() *design {
	d := &design{at: float64(b.year) + nextAt, sums: map[string]float64{}, between: math.NaN()}
	price, size, gauge := logs(b.values("price")), logs(b.values("media_area")), b.values("can_gauge")
	if noise := b.noiseOf(gauge, b.benchFloor("can_gauge", false)); noise.SD > 0 {
		d.prior = noise.SD * noise.SD / (slopePrior * slopePrior)
	}
	d.between, d.within = b.priceVariances(price, size)
	misspelt := b.misspelt()
	var sizes []float64
	for _, p := range b.products {
		c := candidate{maker: p.maker, size: math.NaN(), taken: !b.openedIn(p, b.upToNow)}
		if !c.taken {
			c.size, _, _ = b.meanOf(size, p.openings, b.upToNow)
			c.dates = b.datesOf(p, gauge)
		}
		for _, i := range p.openings {
			if b.upToNow(b.rows[i]) && !math.IsNaN(price[i]) && !math.IsNaN(size[i]) {
				c.priced++
			}
		}
		if !math.IsNaN(c.size) {
			sizes = append(sizes, c.size)
			d.line.add(c.size, d.weight(c.priced))
		}
		if p.maker != "" && c.dates.n > 0 {
			if _, ok := d.sums[p.maker]; !ok {
				d.makers = append(d.makers, p.maker)
			}
			d.sums[p.maker] += c.dates.squares
		}
		c.taken = c.taken || p.part == "" || misspelt[[2]string{p.maker, p.part}]
		d.parts = append(d.parts, c)
	}
	d.over = momentsOf(sizes)
	return d
}

// priceVariances are the variances of the log price about its line on log area
// between products (by a robust scale) and between openings of one; NaN where
// one is not known.
func (b *bench) priceVariances(price, size []float64) (between, within float64) {
	line, err := b.lineOn(price, true, size)
	if err != nil {
		return math.NaN(), math.NaN()
	}
	noise := b.noiseOf(line.residual, Noise{SD: math.NaN()})
	if !(noise.SD > 0) {
		return math.NaN(), math.NaN()
	}
	within = noise.SD * noise.SD
	var means, shares []float64
	for _, p := range b.products {
		if m, n, _ := b.meanOf(line.residual, p.openings, b.upToNow); n > 0 {
			means, shares = append(means, m), append(shares, within/float64(n))
		}
	}
	scale := num.MAD(means)
	// A line that leaves nothing between products would make every weight
	// depend on the noise alone; a tenth of it is kept.
	return math.Max(scale*scale-num.Mean(shares), within/10), within
}

// weight of a product opened n times in the price line.
func (d *design) weight(n int) float64 {
	if n == 0 || math.IsNaN(d.between) {
		return 0
	}
	return 1 / (d.between + d.within/float64(n))
}

// slopeVariances is the sum over the makers, in units of σ².
func (d *design) slopeVariances() float64 {
	var all float64
	for _, name := range d.makers { // in a fixed order: sums of doubles depend on it
		all += 1 / (d.sums[name] + d.prior)
	}
	return all
}

// gain is what one more opening of product k would bring; slopes is the sum of
// the makers' slope variances without it.
func (d *design) gain(k int, slopes float64) Candidate {
	var c Candidate
	p := d.parts[k]
	if p.taken {
		return c
	}
	if before := d.line.variance(d.over); !math.IsNaN(p.size) && !math.IsInf(before, 0) {
		more := d.line
		more.add(p.size, d.weight(p.priced+1)-d.weight(p.priced))
		c.PriceGain = 1 - more.variance(d.over)/before
	}
	if p.dates.n > 0 && d.prior > 0 && p.maker != "" {
		was, is := 1/(d.sums[p.maker]+d.prior), 1/(d.sums[p.maker]+d.prior+p.dates.adds(d.at))
		c.MakerGain = 1 - is/was
		c.DriftGain = (was - is) / slopes
	}
	c.Gain = c.PriceGain + c.DriftGain
	return c
}

// take opens product k.
func (d *design) take(k int) {
	p := &d.parts[k]
	p.taken = true
	if !math.IsNaN(p.size) {
		d.line.add(p.size, d.weight(p.priced+1)-d.weight(p.priced))
	}
	if p.dates.n > 0 && p.maker != "" {
		d.sums[p.maker] += p.dates.adds(d.at)
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
	m := moments{mean: average(x)}
	for _, v := range x {
		m.square += (v - m.mean) * (v - m.mean) / float64(len(x))
	}
	return m
}

// partDates is what the dates of a part's openings with a measure say.
type partDates struct {
	n       int
	mean    float64
	squares float64 // about the mean
}

func (b *bench) datesOf(p product, values []float64) partDates {
	var d partDates
	for _, i := range p.openings {
		if o := b.rows[i]; b.upToNow(o) && !math.IsNaN(values[i]) {
			d.n++
			step := o.when - d.mean
			d.mean += step / float64(d.n)
			d.squares += step * (o.when - d.mean)
		}
	}
	return d
}

// adds is what one more opening at a date adds to the sum of squares.
func (d partDates) adds(at float64) float64 {
	n := float64(d.n)
	return n / (n + 1) * (at - d.mean) * (at - d.mean)
}
