package roundup

import (
	"math"

	"pleatstat/stats/experiment"
	"pleatstat/stats/num"
)

const (
	// toOpen is the number of candidates.
	toOpen = 5
	// nextAt is when, in years from the start of the year, next year's openings
	// are expected: in its middle.
	nextAt = 1.5
	// slopePrior is the prior standard deviation of yearly changes of can gauge,
	// mm a year: common practice, no source.
	slopePrior = 0.02
)

// next lists the products of which one more opening next year would give most
// information: on the price line (log price on log media area) over the log's
// products, and on the makers' yearly change of can gauge within parts. Products
// whose name may be a slip of the pen are excluded. See package experiment.
func (b *bench) next() []Candidate {
	var out []Candidate
	for _, g := range b.design().Choose(toOpen) {
		p := b.products[g.Product]
		c := Candidate{Maker: p.maker, Part: p.part, Gain: g.Total(), PriceGain: g.Line, DriftGain: g.Slopes, MakerGain: g.Maker}
		for _, i := range p.openings {
			if o := b.rows[i]; b.upToNow(o) {
				c.Opened++
				c.Last = o.year
			}
		}
		out = append(out, c)
	}
	return out
}

// design describes what is known of the products up to the year.
func (b *bench) design() *experiment.Design {
	d := &experiment.Design{At: float64(b.year) + nextAt}
	price, size, gauge := logs(b.values("price")), logs(b.values("media_area")), b.values("can_gauge")
	if noise := b.noiseOf(gauge, b.benchFloor("can_gauge", false)); noise.SD > 0 {
		d.Prior = noise.SD * noise.SD / (slopePrior * slopePrior)
	}
	d.Between, d.Within = b.priceVariances(price, size)
	misspelt := b.misspelt()
	for _, p := range b.products {
		known := experiment.Product{Maker: p.maker, X: b.meanOf(size, p.openings, b.upToNow).value,
			Closed: !b.openedIn(p, b.upToNow) || p.part == "" || misspelt[[2]string{p.maker, p.part}]}
		for _, i := range p.openings {
			if !b.upToNow(b.rows[i]) {
				continue
			}
			if !math.IsNaN(price[i]) && !math.IsNaN(size[i]) {
				known.N++
			}
			if !math.IsNaN(gauge[i]) {
				known.Dates.Add(b.rows[i].when)
			}
		}
		d.Products = append(d.Products, known)
	}
	return d
}

// priceVariances returns the variances of the log price about its line on log
// area between products (from a robust scale) and between openings of one
// product; NaN where either is not known.
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
		if m := b.meanOf(line.residual, p.openings, b.upToNow); m.n > 0 {
			means, shares = append(means, m.value), append(shares, within/float64(m.n))
		}
	}
	scale := num.MAD(means)
	// If the line left no variance between products, the weights would depend on
	// the noise alone; keep at least a tenth of it.
	return math.Max(scale*scale-num.Mean(shares), within/10), within
}
