package roundup

import (
	"math"
	"slices"

	"pleatstat/stats/num"
	"pleatstat/stats/rank"
)

const (
	// fewestTwice is the least number of products opened in both years: with five
	// the most extreme signs have a two-sided probability of 1/16, with six of
	// 1/32.
	fewestTwice = 6
	// fewestEach is the least number of openings in each year: with three against
	// three the most extreme orders have a two-sided probability of 1/10, with
	// four against four of 1/35.
	fewestEach = 4
	// sizeShare is the share of the products that must have a can surface for it
	// to define the sizes; otherwise media area does.
	sizeShare = 0.5
)

// watched lists the measures compared with the year before, in order of
// presentation. Different parts are bought each year, so a shift over all parts
// is reported only for measures that mean something across parts.
var watched = []struct {
	measure  string
	relative bool
	allParts bool
}{
	{"price", true, false},
	{"price_per_area", true, true},
	{"can_gauge", false, true},
	{"media_area", true, false},
	{"pleats", false, false},
	{"total_mass", true, false},
}

// Groups of openings in which shifts are estimated.
const (
	OpenedAgain  = "opened again"
	SameProducts = "same products"
	AllSizes     = "all sizes"
	Small        = "small"
	Middle       = "middle"
	Large        = "large"
)

var sizes = []string{Small, Middle, Large}

// shifts compares this year with the past: the products opened again with their
// own last opening, as a yearly change; then with the year before: the same
// products, all products within sizes, and each size. The shift is the
// Hodges–Lehmann estimate over pairs within a product or a size, with the
// interval from the ordered differences (see rank.HodgesLehmann); for products
// opened once in each year that is the median of the differences with the
// interval of the sign test, which does not assume symmetry.
func (b *bench) shifts() []Shift {
	if b.before == 0 {
		return nil
	}
	sized := b.sizeClasses()
	var out []Shift
	for _, w := range watched {
		values := b.values(w.measure)
		scaled := values
		if w.relative {
			scaled = logs(values)
		}
		out = append(out, b.againOf(w.measure, w.relative, values, scaled))
		out = append(out, b.shiftOf(w.measure, w.relative, SameProducts, values, scaled, b.byProduct))
		if !w.allParts || sized == nil {
			continue
		}
		bySize := func(i int) int { return sized.class[b.rows[i].product] }
		out = append(out, sized.note(b.shiftOf(w.measure, w.relative, AllSizes, values, scaled, bySize), -1))
		for k, name := range sizes {
			only := func(i int) int {
				if bySize(i) == k {
					return 0
				}
				return -1
			}
			out = append(out, sized.note(b.shiftOf(w.measure, w.relative, name, values, scaled, only), k))
		}
	}
	follow(out)
	return out
}

// follow marks the shifts of price per area that come from the area alone, so
// that one change is reported once.
func follow(shifts []Shift) {
	clear := func(measure, group string) (Shift, bool) {
		i := slices.IndexFunc(shifts, func(s Shift) bool { return s.Measure == measure && s.Group == group })
		if i < 0 {
			return Shift{}, false
		}
		return shifts[i], shifts[i].Clear
	}
	for i := range shifts {
		s := &shifts[i]
		if s.Measure != "price_per_area" || !s.Clear {
			continue
		}
		area, moved := clear("media_area", s.Group)
		if _, paid := clear("price", s.Group); moved && !paid && area.Shift*s.Shift < 0 {
			s.Follows = area.Measure
		}
	}
}

func (b *bench) byProduct(i int) int { return b.rows[i].product }

// againOf returns the median yearly change of the products opened this year since
// each was last opened in an earlier year, with the interval of the sign test.
func (b *bench) againOf(measure string, relative bool, values, scaled []float64) Shift {
	s := noShift(measure, OpenedAgain, relative)
	s.PerYear, s.Needed = true, fewestTwice
	var rates, zeros [][]float64
	var was, is []float64
	for _, p := range b.products {
		then, now := b.againstBefore(p, scaled)
		years := now.when - then.when
		if then.n == 0 || !(years > 0) {
			continue
		}
		rates, zeros = append(rates, []float64{(now.value - then.value) / years}), append(zeros, []float64{0})
		s.Now, s.Before = s.Now+now.n, s.Before+then.n
		was, is = append(was, then.value), append(is, now.value)
	}
	s.Products = len(rates)
	s.MedianBefore, s.MedianNow = num.Median(was), num.Median(is)
	if relative {
		s.MedianBefore, s.MedianNow = math.Exp(s.MedianBefore), math.Exp(s.MedianNow)
	}
	if s.Products < fewestTwice {
		s.TooFew = true
		return s
	}
	s.settle(zeros, rates)
	return s
}

func noShift(measure, group string, relative bool) Shift {
	nan := math.NaN()
	return Shift{Measure: measure, Group: group, Relative: relative, Shift: nan, Low: nan, High: nan, SizeFrom: nan, SizeTo: nan}
}

// settle estimates the shift from before to after within blocks.
func (s *Shift) settle(before, after [][]float64) {
	fit, err := rank.HodgesLehmann(before, after, confidence)
	if err != nil || math.IsInf(fit.Low, 0) || math.IsInf(fit.High, 0) {
		s.TooFew, s.Needed = true, s.Needed+2 // ties leave the interval unbounded
		return
	}
	s.Shift, s.Low, s.High, s.Needed = fit.Shift, fit.Low, fit.High, 0
	if s.Relative {
		s.Shift, s.Low, s.High = math.Expm1(s.Shift), math.Expm1(s.Low), math.Expm1(s.High)
	}
	s.Clear = s.Low > 0 || s.High < 0
}

// shiftOf compares openings within blocks; block returns -1 for those left out.
func (b *bench) shiftOf(measure string, relative bool, group string, values, scaled []float64, block func(int) int) Shift {
	s := noShift(measure, group, relative)
	s.Needed = fewestEach
	before, now := map[int][]int{}, map[int][]int{}
	most := 0
	for i, o := range b.rows {
		k := block(i)
		if k < 0 || math.IsNaN(scaled[i]) {
			continue
		}
		most = max(most, k+1)
		switch {
		case b.thisYear(o):
			now[k] = append(now[k], i)
		case b.lastYear(o):
			before[k] = append(before[k], i)
		}
	}
	var was, is [][]float64
	var allWas, allIs []float64
	take := func(rows []int, from []float64) []float64 {
		var out []float64
		for _, i := range rows {
			out = append(out, from[i])
		}
		return out
	}
	for k := range most {
		if len(before[k]) == 0 || len(now[k]) == 0 {
			continue
		}
		was, is = append(was, take(before[k], scaled)), append(is, take(now[k], scaled))
		allWas, allIs = append(allWas, take(before[k], values)...), append(allIs, take(now[k], values)...)
	}
	s.Before, s.Now = len(allWas), len(allIs)
	s.MedianBefore, s.MedianNow = num.Median(allWas), num.Median(allIs)
	enough := min(s.Before, s.Now) >= fewestEach
	if group == SameProducts {
		s.Products, s.Needed = len(was), fewestTwice
		enough = s.Products >= fewestTwice
	}
	if !enough {
		s.TooFew = true
		return s
	}
	s.settle(was, is)
	return s
}

// sizing classifies products into three sizes.
type sizing struct {
	measure string
	class   []int // by product, -1 = size not known
	edges   [2]float64
}

// sizeClasses divides the products opened in the two years into thirds by the
// surface of the can, or by media area where too few cans were measured; nil
// where neither is known for enough products.
func (b *bench) sizeClasses() *sizing {
	for _, measure := range []string{"can_surface", "media_area"} {
		values := b.values(measure)
		class := make([]int, len(b.products))
		size := make([]float64, len(b.products))
		var known []float64
		asked := 0
		for k, p := range b.products {
			class[k] = -1
			size[k] = b.meanOf(values, p.openings, func(opening) bool { return true }).value
			if !b.openedIn(p, func(o opening) bool { return b.thisYear(o) || b.lastYear(o) }) {
				continue
			}
			asked++
			if !math.IsNaN(size[k]) {
				known = append(known, size[k])
			}
		}
		if len(known) < len(sizes) || float64(len(known)) < sizeShare*float64(asked) {
			continue
		}
		s := &sizing{measure: measure, class: class, edges: [2]float64{num.Quantile(known, 1.0/3), num.Quantile(known, 2.0/3)}}
		if !(s.edges[0] < s.edges[1]) {
			continue
		}
		for k, v := range size {
			switch {
			case math.IsNaN(v):
			case v <= s.edges[0]:
				class[k] = 0
			case v <= s.edges[1]:
				class[k] = 1
			default:
				class[k] = 2
			}
		}
		return s
	}
	return nil
}

// note adds the size measure and the limits of class k; k = -1 means all sizes.
func (z *sizing) note(s Shift, k int) Shift {
	s.SizeMeasure = z.measure
	switch k {
	case 0:
		s.SizeFrom, s.SizeTo = math.Inf(-1), z.edges[0]
	case 1:
		s.SizeFrom, s.SizeTo = z.edges[0], z.edges[1]
	case 2:
		s.SizeFrom, s.SizeTo = z.edges[1], math.Inf(1)
	}
	return s
}
