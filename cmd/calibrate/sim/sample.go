package sim

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// The simulated market of the flags: log price on log area, in which a part with
// twice the area costs 2^0.9 times as much and the log prices of clean parts have
// a standard deviation of 0.25.
const (
	TrueSlope  = 0.9
	TrueSpread = 0.25
	// areaWidth is the range of the log areas, which are uniformly distributed:
	// the largest part has about four times the area of the smallest.
	areaWidth = 1.4
	// BlankShare is the share of areas not recorded in the logs with blanks.
	BlankShare = 0.3
	// leastPrice is the price of the smallest part for EndingsIn99, before it is
	// rounded to .99.
	leastPrice = 5.0
)

// Place says among which parts the overpriced ones are.
type Place string

const (
	Anywhere Place = "anywhere"
	Large    Place = "among the largest third"
)

// Shape is the distribution of the log prices of clean parts about the line.
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

// Shapes lists all shapes.
var Shapes = []Shape{NormalPrices, TailedPrices, SkewedUp, SkewedDown, GammaUp, GrowingSpread, MakersLevels, MediaLevels, EndingsIn99}

const (
	gammaShape = 4 // the skewness is 2/√gammaShape = 1
	// skewSlant is the slant parameter of the skew normal distribution with
	// skewness 0.5 (A. Azzalini (1985), Scand. J. Stat. 12, 171-178).
	skewSlant  = 2.17376
	makersSD   = 0.15 // standard deviation of log price between makers
	makersMany = 8    // number of makers
)

// mediaWorth is the amount that each media type adds to the log price.
var mediaWorth = [...]float64{0, math.Log(1.12), math.Log(1.30)}

// Scenario describes a sample to simulate.
type Scenario struct {
	N      int
	Share  float64 // of overpriced parts, before blanks
	Factor float64 // by which they are overpriced
	Place  Place
	Shape  Shape
	Blanks float64 // share of parts without a recorded area, which are left out
	Fresh  int     // number of clean parts simulated besides the log
}

// Planted returns the number of overpriced parts, before blanks.
func (s Scenario) Planted() int { return int(math.Round(s.Share * float64(s.N))) }

// Sample holds the log areas, relative to the smallest, and log prices of parts.
type Sample struct {
	Area, Price []float64
	Planted     []bool // overpriced
	// FreshArea and FreshPrice are those of further clean parts of the same
	// market.
	FreshArea, FreshPrice []float64
}

// Sample simulates one sample.
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

// record removes the parts for which keep returns false.
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

// prices simulates a market and returns a function that draws the log price of a
// clean part of a given log area.
func (k Shape) prices(rng *rand.Rand) func(area float64) float64 {
	levels := make([]float64, makersMany)
	for i := range levels {
		levels[i] = makersSD * rng.NormFloat64()
	}
	return func(area float64) float64 {
		price := TrueSlope * area
		deviation := k.Deviation(rng)
		switch k {
		case GrowingSpread: // the spread doubles from the smallest to the largest area
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

// Deviation returns a random deviate with mean 0 and standard deviation 1.
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
