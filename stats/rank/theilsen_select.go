package rank

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"pleatstat/stats/num"
)

// pairSlopes is the largest number of slopes that are simply listed and
// sorted; above it they are selected without being listed.
const pairSlopes = 20_000

// slopes answers which slope between two of n points has a given rank. The
// points are held in the order of x; among equal x, of y. Both are scaled by
// powers of two to at most 1 in size.
//
// Above a few hundred points it narrows an interval that holds the wanted rank,
// by counting inversions and by drawing slopes at random from the interval: J.
// Matoušek (1991), Randomized optimal algorithm for slope selection, Inf.
// Process. Lett. 39, 183-187; M. B. Dillencourt, D. M. Mount and N. S. Netanyahu
// (1992), Int. J. Comput. Geom. Appl. 2, 1-27. The draws decide the time it
// takes, not the result.
type slopes struct {
	x, y     []float64
	exponent int       // true slope = 2^exponent · slope held
	total    int       // slopes: pairs whose x differ
	listed   []float64 // all slopes, ascending, where they are few
	rng      *rand.Rand
}

func newSlopes(x, y []float64) *slopes {
	n := len(x)
	ex, ey := num.ExponentOf(x), num.ExponentOf(y)
	order := num.RowOrder([][]float64{x}, y)
	s := &slopes{x: make([]float64, n), y: make([]float64, n), exponent: ey - ex, rng: rand.New(rand.NewPCG(num.DefaultSeed, uint64(n)))}
	for k, i := range order {
		s.x[k], s.y[k] = math.Ldexp(x[i], -ex), math.Ldexp(y[i], -ey)
	}
	s.total = n*(n-1)/2 - int(pairsIn(tieSizes(s.x)))
	if s.total > pairSlopes {
		return s
	}
	s.listed = make([]float64, 0, s.total)
	for j := range n {
		for i := range j {
			if s.x[i] != s.x[j] {
				s.listed = append(s.listed, s.slope(i, j))
			}
		}
	}
	slices.Sort(s.listed)
	return s
}

// slope is the slope between points i and j, held inside the range of double
// precision.
func (s *slopes) slope(i, j int) float64 {
	v := (s.y[j] - s.y[i]) / (s.x[j] - s.x[i])
	return math.Max(-math.MaxFloat64, math.Min(math.MaxFloat64, v))
}

// at interpolates between the ordered slopes at a rank that counts from 1;
// infinite beyond the first and the last.
func (s *slopes) at(rank float64) float64 {
	whole := int(math.Floor(rank))
	switch {
	case whole < 1:
		return math.Inf(-1)
	case math.Ceil(rank) > float64(s.total):
		return math.Inf(1)
	}
	part := rank - float64(whole)
	low, high := s.ranked(whole, part > 0)
	if part > 0 {
		low = math.Max(low, math.Min(high, (1-part)*low+part*high))
	}
	return math.Ldexp(low, s.exponent)
}

// ranked returns the slope of rank k and, if asked for, of rank k+1.
func (s *slopes) ranked(k int, next bool) (float64, float64) {
	last := k
	if next {
		last++
	}
	if s.listed != nil {
		return s.listed[k-1], s.listed[last-1]
	}
	low, high := sheared{order: num.AllRows(len(s.x)), slope: math.Inf(-1)}, sheared{count: s.total, slope: math.Inf(1)}
	for {
		inside := high.count - low.count
		if inside <= s.listable() {
			between := s.pick(low, high, num.AllRows(inside))
			slices.Sort(between)
			return between[k-low.count-1], between[last-low.count-1]
		}
		sample := s.sample(low, high)
		if tight(sample[0], sample[len(sample)-1]) && tight(low.slope, high.slope) {
			return sample[len(sample)/2], sample[len(sample)/2] // all slopes left are tied
		}
		// Bounds three standard deviations of the sample's ranks to either side;
		// each just outside the slope drawn, or, where many slopes tie and that
		// bound is there already, just inside.
		size := float64(len(sample))
		margin := 1.5*math.Sqrt(size) + 1
		from := int(math.Floor(size*float64(k-low.count)/float64(inside) - margin))
		to := int(math.Ceil(size*float64(last-low.count)/float64(inside) + margin))
		for _, c := range []struct {
			place   int
			outside float64
		}{{from, -1}, {to, 1}} {
			if c.place < 0 || c.place >= len(sample) {
				continue
			}
			bound := widened(sample[c.place], c.outside)
			if bound <= low.slope || bound >= high.slope {
				bound = widened(sample[c.place], -c.outside)
			}
			if bound <= low.slope || bound >= high.slope {
				continue
			}
			at := s.shear(bound)
			switch {
			case at.count < k:
				low = at
			case at.count >= last:
				high = at
			default: // the bound parts the two ranks
				first, _ := s.ranked(k, false)
				second, _ := s.ranked(last, false)
				return first, second
			}
		}
	}
}

// listable is the number of slopes that may be listed at once.
func (s *slopes) listable() int { return max(pairSlopes, 4*len(s.x)) }

// sheared is the order of the points by y - slope·x, and the number of slopes
// at or below slope, which is the number of pairs it inverts.
type sheared struct {
	slope float64
	order []int // nil for an infinite slope: the reverse order of x
	count int
}

func (s *slopes) shear(slope float64) sheared {
	type crossing struct {
		height num.DoubleDouble
		at     int
	}
	z := make([]crossing, len(s.x))
	for i := range z {
		p := s.x[i] * slope
		product := num.DoubleDouble{Hi: p, Lo: math.FMA(s.x[i], slope, -p)}
		z[i] = crossing{num.DoubleDouble{Hi: s.y[i], Lo: 0}.Sub(product), i}
	}
	slices.SortFunc(z, func(a, b crossing) int {
		if c := num.Compare(a.height.Hi, b.height.Hi); c != 0 {
			return c
		}
		if c := num.Compare(a.height.Lo, b.height.Lo); c != 0 {
			return c
		}
		if c := cmp.Compare(s.x[b.at], s.x[a.at]); c != 0 {
			return c
		}
		return a.at - b.at
	})
	out := sheared{slope: slope, order: make([]int, len(z))}
	places := make([]float64, len(z))
	for k, c := range z {
		out.order[k] = c.at
		places[k] = float64(c.at)
	}
	out.count = inversions(places, make([]float64, len(z)))
	return out
}

// sample draws slopes above low and up to high with replacement, ascending.
func (s *slopes) sample(low, high sheared) []float64 {
	n := len(s.x)
	inside := high.count - low.count
	var out []float64
	if inside == s.total {
		for len(out) < n {
			i, j := s.rng.IntN(n), s.rng.IntN(n)
			if s.x[i] != s.x[j] {
				out = append(out, s.slope(i, j))
			}
		}
	} else {
		ranks := make([]int, n)
		for i := range ranks {
			ranks[i] = s.rng.IntN(inside)
		}
		slices.Sort(ranks)
		out = s.pick(low, high, ranks)
	}
	slices.Sort(out)
	return out
}

// pick returns the slopes above low and up to high that come at the given
// places, ascending, in the order in which a merge sort meets them.
func (s *slopes) pick(low, high sheared, places []int) []float64 {
	n := len(s.x)
	rank := make([]int, n)
	for k := range n {
		if high.order == nil {
			rank[k] = n - 1 - k
		} else {
			rank[high.order[k]] = k
		}
	}
	if high.order == nil {
		// Points of equal x keep their order, as they do under every shear.
		for i := 0; i < n; {
			j := i
			for j < n && s.x[j] == s.x[i] {
				j++
			}
			for k := i; k < j; k++ {
				rank[k] = n - j + k - i
			}
			i = j
		}
	}
	m := &picker{rank: rank, v: slices.Clone(low.order), scratch: make([]int, n), places: places}
	m.take = func(i, j int) { m.out = append(m.out, s.slope(i, j)) }
	m.sort(0, n)
	return m.out
}

// picker merge-sorts v by rank and takes the inverted pairs at some places.
type picker struct {
	rank, v, scratch []int
	places           []int // ascending
	seen             int   // inverted pairs met
	take             func(i, j int)
	out              []float64
}

func (m *picker) sort(from, to int) {
	if to-from < 2 || len(m.places) == 0 {
		return
	}
	half := (from + to) / 2
	m.sort(from, half)
	m.sort(half, to)
	copy(m.scratch[from:to], m.v[from:to])
	i, j := from, half
	for k := from; k < to; k++ {
		if j == to || i < half && m.rank[m.scratch[i]] <= m.rank[m.scratch[j]] {
			m.v[k] = m.scratch[i]
			i++
			continue
		}
		for len(m.places) > 0 && m.places[0] < m.seen+half-i {
			m.take(m.scratch[i+m.places[0]-m.seen], m.scratch[j])
			m.places = m.places[1:]
		}
		m.seen += half - i
		m.v[k] = m.scratch[j]
		j++
	}
}

// slopeNoise is above the rounding of a slope relative to its size; below
// leastSlope, on data scaled to 1, a slope counts as zero.
const (
	slopeNoise = 0x1p-49
	leastSlope = 1e-290
)

// tight says that two slopes are one but for rounding.
func tight(a, b float64) bool {
	return b-a <= 8*(slopeNoise*math.Max(math.Abs(a), math.Abs(b))+leastSlope)
}

// widened moves a slope by more than its rounding in the given direction.
func widened(v, direction float64) float64 {
	return v + direction*(slopeNoise*math.Abs(v)+leastSlope)
}
