package main

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// The simulated market of the flags: log price on log area, in which a part of
// twice the area costs 2^0.9 times as much and clean parts scatter by a quarter
// of their price.
const (
	trueSlope  = 0.9
	trueSpread = 0.25
	// Log areas are even over this width: the largest part has four times the
	// area of the smallest.
	areaWidth = 1.4
	// blankShare of areas is not recorded in the logs with blanks.
	blankShare = 0.3
	// leastPrice is that of the smallest part, before the .99.
	leastPrice = 5.0
)

type place string

const (
	anywhere place = "anywhere"
	large    place = "among the largest third"
)

// kind is a kind of market by how its honest prices scatter.
type kind string

const (
	normal     kind = "normal"
	tails      kind = "t(5)"
	skewedUp   kind = "skewed up, 0.5"
	skewedDown kind = "skewed down, 0.5"
	gammaUp    kind = "gamma, skewness 1"
	growing    kind = "growing spread"
	makers     kind = "makers' levels"
	media      kind = "makers and media types"
	endings    kind = "prices in .99"
)

var kinds = []kind{normal, tails, skewedUp, skewedDown, gammaUp, growing, makers, media, endings}

const (
	tailsDF    = 5
	gammaShape = 4 // of skewness 2/√shape = 1
	// skewSlant is the slant parameter of a skew normal of skewness 0.5 (A.
	// Azzalini (1985), Scand. J. Stat. 12, 171-178), and its mean and standard
	// deviation.
	skewSlant  = 2.17376
	makersSD   = 0.15
	makersMany = 8
)

// mediaWorth is what media types add to the log price.
var mediaWorth = [...]float64{0, math.Log(1.12), math.Log(1.30)}

// scenario is one cell of the grid.
type scenario struct {
	n      int
	share  float64 // of parts that are overpriced
	factor float64 // by which they are
	place  place
	kind   kind
	blanks float64 // share of parts without an area, at random: they cannot be judged
}

// toPlant is the number of overpriced parts.
func (s scenario) toPlant() int { return int(math.Round(s.share * float64(s.n))) }

func (s scenario) String() string {
	rows := fmt.Sprint(s.n)
	if s.blanks > 0 {
		rows = fmt.Sprintf("%d, %.0f %% blank", s.n, 100*s.blanks)
	}
	if s.share == 0 {
		return fmt.Sprintf("| %s | %s | none | ", s.kind, rows)
	}
	return fmt.Sprintf("| %s | %s | %.0f %% at ×%g | %s ", s.kind, rows, 100*s.share, s.factor, s.place)
}

// shelf is one simulated log.
type shelf struct {
	area, price []float64 // logs
	planted     []bool
	fresh       shelfParts // clean parts of the same market that are not in the log
}

type shelfParts struct{ area, price []float64 }

func (s scenario) draw(rng *rand.Rand) shelf {
	m := shelf{area: make([]float64, s.n), price: make([]float64, s.n), planted: make([]bool, s.n)}
	for i := range s.n {
		m.area[i] = areaWidth * rng.Float64()
	}
	planted := s.toPlant()
	order := rng.Perm(s.n)
	if s.place == large {
		slices.SortFunc(order, func(a, b int) int { return cmp.Compare(m.area[b], m.area[a]) })
		third := max(planted, s.n/3)
		rng.Shuffle(third, func(a, b int) { order[a], order[b] = order[b], order[a] })
	}
	for _, i := range order[:planted] {
		m.planted[i] = true
	}
	honest := s.kind.prices(rng)
	for i := range s.n {
		m.price[i] = honest(m.area[i])
		if m.planted[i] {
			m.price[i] += math.Log(s.factor)
		}
	}
	for range fresh {
		area := areaWidth * rng.Float64()
		m.fresh.area, m.fresh.price = append(m.fresh.area, area), append(m.fresh.price, honest(area))
	}
	if s.blanks > 0 {
		m.record(func() bool { return rng.Float64() >= s.blanks })
	}
	return m
}

// record leaves out the parts whose area is blank.
func (m *shelf) record(keep func() bool) {
	var area, price []float64
	var planted []bool
	for i := range m.area {
		if keep() {
			area, price, planted = append(area, m.area[i]), append(price, m.price[i]), append(planted, m.planted[i])
		}
	}
	m.area, m.price, m.planted = area, price, planted
}

// prices is a market of honest log prices by log area.
func (k kind) prices(rng *rand.Rand) func(area float64) float64 {
	levels := make([]float64, makersMany)
	for i := range levels {
		levels[i] = makersSD * rng.NormFloat64()
	}
	return func(area float64) float64 {
		price := trueSlope * area
		deviation := k.deviation(rng)
		switch k {
		case growing: // doubling from the smallest to the largest
			deviation *= math.Exp2(area/areaWidth - 0.5)
		case makers:
			price += levels[rng.IntN(makersMany)]
		case media:
			price += levels[rng.IntN(makersMany)] + mediaWorth[rng.IntN(len(mediaWorth))]
		case endings:
			return math.Log(math.Round(leastPrice*math.Exp(price+trueSpread*deviation)) - 0.01)
		}
		return price + trueSpread*deviation
	}
}

// deviation is one of mean 0 and standard deviation 1.
func (k kind) deviation(rng *rand.Rand) float64 {
	switch k {
	case tails:
		t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: tailsDF, Src: rng}.Rand()
		return t / math.Sqrt(tailsDF/(tailsDF-2.0))
	case gammaUp:
		g := distuv.Gamma{Alpha: gammaShape, Beta: 1, Src: rng}.Rand()
		return (g - gammaShape) / math.Sqrt(gammaShape)
	case skewedUp, skewedDown:
		delta := skewSlant / math.Sqrt(1+skewSlant*skewSlant)
		mean := delta * math.Sqrt(2/math.Pi)
		z := delta*math.Abs(rng.NormFloat64()) + math.Sqrt(1-delta*delta)*rng.NormFloat64()
		u := (z - mean) / math.Sqrt(1-mean*mean)
		if k == skewedDown {
			return -u
		}
		return u
	}
	return rng.NormFloat64()
}
