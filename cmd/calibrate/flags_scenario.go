package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
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
	// tailsDF and skewShape give the noise that is not normal: Student's t, and a
	// gamma of skewness 2/√shape = 0.5. All have standard deviation trueSpread.
	tailsDF   = 5
	skewShape = 16
)

type place string

const (
	anywhere place = "anywhere"
	large    place = "among the largest third"
	largest  place = "the very largest"
)

type noise string

const (
	normal noise = "normal"
	tails  noise = "t(5)"
	skewed noise = "skewed"
)

// scenario is one cell of the grid.
type scenario struct {
	n      int
	share  float64 // of parts that are overpriced
	factor float64 // by which they are
	place  place
	noise  noise
	blanks float64 // share of parts without an area, at random: they cannot be judged
}

// toPlant is the number of overpriced parts.
func (s scenario) toPlant() int { return int(math.Round(s.share * float64(s.n))) }

func (s scenario) rows() string {
	if s.blanks > 0 {
		return fmt.Sprintf("%d, %.0f %% blank", s.n, 100*s.blanks)
	}
	return fmt.Sprint(s.n)
}

func (s scenario) String() string {
	if s.share == 0 {
		return fmt.Sprintf("| %s | none | | | %s ", s.rows(), s.noise)
	}
	return fmt.Sprintf("| %s | %.0f %% | %.1f | %s | %s ", s.rows(), 100*s.share, s.factor, s.place, s.noise)
}

// shelf is one simulated log.
type shelf struct {
	area, price []float64 // logs
	planted     []bool
}

func (s scenario) draw(rng *rand.Rand) shelf {
	m := shelf{area: make([]float64, s.n), price: make([]float64, s.n), planted: make([]bool, s.n)}
	for i := range s.n {
		m.area[i] = areaWidth * rng.Float64()
	}
	planted := s.toPlant()
	order := rng.Perm(s.n)
	if s.place != anywhere {
		slices.SortFunc(order, func(a, b int) int {
			if m.area[a] > m.area[b] {
				return -1
			}
			return 1
		})
	}
	if s.place == large {
		third := max(planted, s.n/3)
		rng.Shuffle(third, func(a, b int) { order[a], order[b] = order[b], order[a] })
	}
	for _, i := range order[:planted] {
		m.planted[i] = true
	}
	for i := range s.n {
		m.price[i] = trueSlope*m.area[i] + s.noise.draw(rng)
		if m.planted[i] {
			m.price[i] += math.Log(s.factor)
		}
	}
	if s.blanks > 0 {
		m = m.recorded(func() bool { return rng.Float64() >= s.blanks })
	}
	return m
}

// recorded is the shelf without the parts whose area is blank.
func (m shelf) recorded(keep func() bool) shelf {
	var out shelf
	for i := range m.area {
		if keep() {
			out.area, out.price, out.planted = append(out.area, m.area[i]), append(out.price, m.price[i]), append(out.planted, m.planted[i])
		}
	}
	return out
}

// draw is one deviation of a clean part.
func (k noise) draw(rng *rand.Rand) float64 {
	switch k {
	case tails:
		squares := 0.0
		for range tailsDF {
			z := rng.NormFloat64()
			squares += z * z
		}
		t := rng.NormFloat64() / math.Sqrt(squares/tailsDF)
		return trueSpread * t / math.Sqrt(tailsDF/(tailsDF-2.0))
	case skewed:
		sum := 0.0
		for range skewShape {
			sum += rng.ExpFloat64()
		}
		return trueSpread * (sum - skewShape) / math.Sqrt(skewShape)
	}
	return trueSpread * rng.NormFloat64()
}
