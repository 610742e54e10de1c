// Package sim simulates logs of which the truth is known: the demo log, logs of any
// size for benchmarks, and the data on which error rates, power and coverage are
// measured.
//
// There are five kinds of data, with the same makers, media types and kinds of
// scatter:
//
//   - Workshop writes a log with all columns, overpriced parts, makers that change and
//     entry errors;
//   - NewMarket simulates products whose prices follow a known rule of their contents;
//   - NewFilterLog simulates whole filters, whose measures depend on each other, of
//     makers that change or do not;
//   - NewGaugeLog simulates gauge readings of makers that change or do not;
//   - Scenario.Sample simulates media areas, and prices scattered about a known line.
//
// Equal options and seeds give equal bytes.
package sim

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// makerNames are the invented makers of the harbour workshop.
var makerNames = [...]string{"Skerrow", "Thornquay", "Veldmarsh", "Pellbrook", "Orrinvale", "Lowmere", "Brackhollow", "Wexcombe"}

// MakerName returns the name of maker m, counted from 0; makers after the
// harbour's are numbered.
func MakerName(m int) string {
	if m < len(makerNames) {
		return makerNames[m]
	}
	return fmt.Sprintf("Maker %02d", m+1)
}

// MediaTypes lists the media types of all simulated products.
var MediaTypes = [...]string{"cellulose", "blend", "synthetic", "wire-backed synthetic"}

// Rise is the yearly rise of the log price, the same for all products.
const Rise = 0.04

// Noise is the distribution of the scatter of values. The zero value means Normal.
type Noise string

const (
	Normal      Noise = "normal"
	LongTailed  Noise = "t(5)"             // Student's t with 5 degrees of freedom
	EntryErrors Noise = "2 % entry errors" // normal, with 2 % of the gauge readings entered wrongly
	Slips       Noise = "2 % slips"        // normal, with 2 % of the cells of all measures entered wrongly
)

const longTailDF = 5

// deviate returns a random deviate with mean 0 and standard deviation 1. Entry errors
// and slips are not included; the simulations add them.
func (n Noise) deviate(rng *rand.Rand) float64 {
	if n == LongTailed {
		return distuv.StudentsT{Mu: 0, Sigma: math.Sqrt((longTailDF - 2.0) / longTailDF), Nu: longTailDF, Src: rng}.Rand()
	}
	return rng.NormFloat64()
}
