// Package sim makes invented logs with known truths in them: the demo log and
// logs of any size for benchmarks, and the samples on which error rates, power
// and coverage are measured.
//
// Five kinds of data come from one set of makers, media types and scatter:
//
//   - Workshop writes a whole log as a workshop keeps it, with every column,
//     overpriced parts, drifting makers and entry errors;
//   - NewMarket makes products whose prices follow a known rule of their contents;
//   - NewFilterLog makes whole filters whose measures move together, of makers that do
//     or do not change;
//   - NewGaugeLog makes gauge readings of makers that do or do not change;
//   - Scenario.Sample draws areas and prices about a known line.
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

// MakerName is the name of maker m; those after the harbour's are numbered.
func MakerName(m int) string {
	if m < len(makerNames) {
		return makerNames[m]
	}
	return fmt.Sprintf("Maker %02d", m+1)
}

// MediaTypes are the media of all simulated products.
var MediaTypes = [...]string{"cellulose", "blend", "synthetic", "wire-backed synthetic"}

// Rise is the yearly rise of every log price.
const Rise = 0.04

// Noise is how values scatter about what they should be. The zero value is
// Normal.
type Noise string

const (
	Normal      Noise = "normal"
	LongTailed  Noise = "t(5)" // Student's t
	EntryErrors Noise = "2 % entry errors"
	Slips       Noise = "2 % slips" // the same, of every cell of a row
)

const longTailDF = 5

// deviate is one deviate of mean 0 and standard deviation 1; entry errors come
// on top of a normal one.
func (n Noise) deviate(rng *rand.Rand) float64 {
	if n == LongTailed {
		return distuv.StudentsT{Mu: 0, Sigma: math.Sqrt((longTailDF - 2.0) / longTailDF), Nu: longTailDF, Src: rng}.Rand()
	}
	return rng.NormFloat64()
}
