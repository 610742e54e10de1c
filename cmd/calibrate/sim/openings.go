package sim

import (
	"math"
	"math/rand/v2"
	"slices"
	"time"
)

// opening is one filter cut open on one day.
type opening struct {
	day     int32 // days after firstDay
	product int32
}

// The workshop opens filters on Saturdays of the slack season, October to April.
var (
	firstDay = time.Date(2019, time.January, 5, 0, 0, 0, 0, time.UTC) // a Saturday
	lastDay  = time.Date(2026, time.April, 11, 0, 0, 0, 0, time.UTC)
)

func slackSeason(d time.Time) bool { return d.Month() <= time.April || d.Month() >= time.October }

func saturdays() []int32 {
	var days []int32
	for d := firstDay; !d.After(lastDay); d = d.AddDate(0, 0, 7) {
		if slackSeason(d) {
			days = append(days, int32(d.Sub(firstDay).Hours()/24))
		}
	}
	return days
}

func (o opening) date() time.Time { return firstDay.AddDate(0, 0, int(o.day)) }

func (o opening) year() float64 {
	d := o.date()
	return float64(d.Year()) + (float64(d.YearDay())-0.5)/365.25
}

// schedule divides the rows among the products and spreads the openings of each
// product over the years.
func (w *workshop) schedule(r *rand.Rand, rows int) {
	counts := w.counts(r, rows)
	days := saturdays()
	w.openings = make([]opening, 0, rows)
	for i, k := range counts {
		for j := range k {
			at := (float64(j) + r.Float64()) / float64(k) * float64(len(days))
			w.openings = append(w.openings, opening{day: days[int(at)], product: int32(i)})
		}
	}
	slices.SortStableFunc(w.openings, func(a, b opening) int { return int(a.day - b.day) })
}

// counts returns the number of openings of each product: at least one, or the
// number given for the product. The others are divided in proportion to the
// makers' weights, with some scatter.
func (w *workshop) counts(r *rand.Rand, rows int) []int {
	counts := make([]int, len(w.products))
	shares := make([]float64, len(w.products))
	var total float64
	left := rows
	for i, p := range w.products {
		counts[i] = max(1, p.openings)
		left -= counts[i]
		if p.openings == 0 {
			shares[i] = w.makers[p.maker].weight * between(r, 0.35, 1.65)
			total += shares[i]
		}
	}
	free := left
	for i := range counts {
		k := int(float64(free) * shares[i] / total)
		counts[i] += k
		left -= k
	}
	for i := 0; left > 0; i = (i + 1) % len(counts) {
		if shares[i] > 0 {
			counts[i]++
			left--
		}
	}
	return counts
}

// found holds the true values of one specimen, without errors of measurement.
type found struct {
	gauge, od, height, width, length, thickness, baseGauge, gasketOD, holeDiameter, elementOD float64 // mm
	can, base, element, media, spring, total                                                  float64 // g
	area                                                                                      float64 // cm²
	pleats                                                                                    int
	price                                                                                     float64 // of the whole pack
}

func (w *workshop) look(r *rand.Rand, o opening) found {
	p := &w.products[o.product]
	k := &w.makers[p.maker]
	t := o.year()
	scatter := func(v, relative float64) float64 { return v * cutNormal(r, 1, relative) }

	gauge := p.gauge
	if k.thinning > 0 && t > k.thinFrom {
		gauge -= k.thinning * (t - k.thinFrom)
	}
	pleats := p.pleats
	if k.pleatsLost > 0 && t > k.pleatsLostAt {
		pleats -= k.pleatsLost
	}
	var f found
	f.gauge = cutNormal(r, gauge, 0.003)
	f.od, f.height = scatter(p.od, 0.001), scatter(p.height, 0.002)
	f.width = scatter(p.width, 0.004)
	f.pleats = pleats + pick(r, -1, 0, 0, 0, 0, 0, 0, 1)
	f.length = scatter(2*p.depth*float64(f.pleats), 0.006)
	f.area = f.length * f.width / 100
	f.thickness = scatter(p.thickness, 0.012)
	f.baseGauge, f.gasketOD = scatter(p.baseGauge, 0.006), scatter(p.gasketOD, 0.002)
	f.elementOD = scatter(p.elementOD, 0.003)
	f.holeDiameter = scatter(p.holeDiameter, 0.008)

	f.can = p.surface * f.gauge / 10 * steelDensity * cutNormal(r, 1, 0.005)
	f.base = scatter(p.baseMass, 0.008)
	f.media = f.area / 1e4 * p.grammage * cutNormal(r, 1, 0.012)
	f.element = f.media + scatter(p.frame, 0.012)
	f.spring = scatter(p.spring, 0.01)
	f.total = f.can + f.base + f.element + f.spring + scatter(p.other, 0.02)

	paid := p.price(p.meanArea(), t) * math.Exp(cutNormal(r, 0, 0.025))
	f.price = math.Round(paid*10)/10 - 0.01 // shelf prices end in a nine
	if p.pack > 1 {
		f.price = math.Round(paid*float64(p.pack)*10)/10 - 0.01
	}
	return f
}

// meanArea returns the media area, in cm², on which the price of the product is
// based.
func (p *product) meanArea() float64 { return 2 * p.depth * float64(p.pleats) * p.width / 100 }
