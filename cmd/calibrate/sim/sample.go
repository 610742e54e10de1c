package sim

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// The simulated market of the flags: log price on log area, in which a part of
// twice the area costs 2^0.9 times as much and clean parts scatter by a quarter
// of their price.
const (
	TrueSlope  = 0.9
	TrueSpread = 0.25
	// Log areas are even over this width: the largest part has four times the
	// area of the smallest.
	areaWidth = 1.4
	// BlankShare of areas is not recorded in the logs with blanks.
	BlankShare = 0.3
	// leastPrice is that of the smallest part, before the .99.
	leastPrice = 5.0
)

// Place is which parts are overpriced.
type Place string

const (
	Anywhere Place = "anywhere"
	Large    Place = "among the largest third"
)

// Shape is a kind of market by how its honest prices scatter.
type Shape string

const (
	NormalPrices  Shape = "normal"
	TailedPrices  Shape = "t(5)"
	SkewedUp      Shape = "skewed up, 0.5"
	SkewedDown    Shape = "skewed down, 0.5"
	GammaUp       Shape = "gamma, skewness 1"
	GrowingSpread Shape = "growing spread"
	MakersLevels  Shape = "makers' levels"
	MediaLevels   Shape = "makers and media types"
	EndingsIn99   Shape = "prices in .99"
)

// Shapes lists them all.
var Shapes = []Shape{NormalPrices, TailedPrices, SkewedUp, SkewedDown, GammaUp, GrowingSpread, MakersLevels, MediaLevels, EndingsIn99}

const (
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

// Scenario is what sample to draw.
type Scenario struct {
	N      int
	Share  float64 // of parts that are overpriced
	Factor float64 // by which they are
	Place  Place
	Shape  Shape
	Blanks float64 // share of parts without an area, at random: they cannot be judged
	Fresh  int     // clean parts to draw beside the log
}

// Planted is the number of overpriced parts, before blanks.
func (s Scenario) Planted() int { return int(math.Round(s.Share * float64(s.N))) }

// Sample is the log areas and log prices of parts.
type Sample struct {
	Area, Price []float64
	Planted     []bool // overpriced
	// FreshArea and FreshPrice are those of clean parts of the same market that
	// are not in the log.
	FreshArea, FreshPrice []float64
}

// Sample draws one sample.
func (s Scenario) Sample(rng *rand.Rand) Sample {
	m := Sample{Area: make([]float64, s.N), Price: make([]float64, s.N), Planted: make([]bool, s.N)}
	for i := range s.N {
		m.Area[i] = areaWidth * rng.Float64()
	}
	planted := s.Planted()
	order := rng.Perm(s.N)
	if s.Place == Large {
		slices.SortFunc(order, func(a, b int) int { return cmp.Compare(m.Area[b], m.Area[a]) })
		third := max(planted, s.N/3)
		rng.Shuffle(third, func(a, b int) { order[a], order[b] = order[b], order[a] })
	}
	for _, i := range order[:planted] {
		m.Planted[i] = true
	}
	honest := s.Shape.prices(rng)
	for i := range s.N {
		m.Price[i] = honest(m.Area[i])
		if m.Planted[i] {
			m.Price[i] += math.Log(s.Factor)
		}
	}
	for range s.Fresh {
		area := areaWidth * rng.Float64()
		m.FreshArea, m.FreshPrice = append(m.FreshArea, area), append(m.FreshPrice, honest(area))
	}
	if s.Blanks > 0 {
		m.record(func() bool { return rng.Float64() >= s.Blanks })
	}
	return m
}

// record leaves out the parts whose area is blank.
func (m *Sample) record(keep func() bool) {
	var area, price []float64
	var planted []bool
	for i := range m.Area {
		if keep() {
			area, price, planted = append(area, m.Area[i]), append(price, m.Price[i]), append(planted, m.Planted[i])
		}
	}
	m.Area, m.Price, m.Planted = area, price, planted
}

// prices is a market of honest log prices by log area.
func (k Shape) prices(rng *rand.Rand) func(area float64) float64 {
	levels := make([]float64, makersMany)
	for i := range levels {
		levels[i] = makersSD * rng.NormFloat64()
	}
	return func(area float64) float64 {
		price := TrueSlope * area
		deviation := k.Deviation(rng)
		switch k {
		case GrowingSpread: // doubling from the smallest to the largest
			deviation *= math.Exp2(area/areaWidth - 0.5)
		case MakersLevels:
			price += levels[rng.IntN(makersMany)]
		case MediaLevels:
			price += levels[rng.IntN(makersMany)] + mediaWorth[rng.IntN(len(mediaWorth))]
		case EndingsIn99:
			return math.Log(math.Round(leastPrice*math.Exp(price+TrueSpread*deviation)) - 0.01)
		}
		return price + TrueSpread*deviation
	}
}

// Deviation is one of mean 0 and standard deviation 1.
func (k Shape) Deviation(rng *rand.Rand) float64 {
	switch k {
	case TailedPrices:
		t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: longTailDF, Src: rng}.Rand()
		return t / math.Sqrt(longTailDF/(longTailDF-2.0))
	case GammaUp:
		g := distuv.Gamma{Alpha: gammaShape, Beta: 1, Src: rng}.Rand()
		return (g - gammaShape) / math.Sqrt(gammaShape)
	case SkewedUp, SkewedDown:
		delta := skewSlant / math.Sqrt(1+skewSlant*skewSlant)
		mean := delta * math.Sqrt(2/math.Pi)
		z := delta*math.Abs(rng.NormFloat64()) + math.Sqrt(1-delta*delta)*rng.NormFloat64()
		u := (z - mean) / math.Sqrt(1-mean*mean)
		if k == SkewedDown {
			return -u
		}
		return u
	}
	return rng.NormFloat64()
}
