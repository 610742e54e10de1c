package price

import (
	"fmt"
	"math"

	"pleatstat/dataset"
)

// An efficiency means nothing without its particle size: 99 % at 10 µm and at
// 40 µm are two different claims. So only claims at one size are compared, the
// one that the log's boxes claim most often.

// claimedSize returns that size in µm, the smallest if several are equally
// frequent; NaN where most claims give none.
func claimedSize(log *dataset.Log) float64 {
	counts := map[float64]int{}
	none, size := 0, math.NaN()
	for row := range log.Rows() {
		k, ok := log.Claim(row)
		switch {
		case !ok:
		case math.IsNaN(k.ParticleSize):
			none++
		default:
			counts[k.ParticleSize]++
		}
	}
	most := none
	for at, n := range counts {
		if n > most || n == most && !(at > size) {
			most, size = n, at
		}
	}
	return size
}

// claims returns the efficiencies claimed at a size, per row, as beta ratios:
// particles arriving per particle that gets through, 100 for 99 %. NaN for a
// claim at another size, and for 100 %, whose ratio is infinite.
func claims(log *dataset.Log, size float64) []float64 {
	out := make([]float64, log.Rows())
	for row := range out {
		out[row] = math.NaN()
		k, ok := log.Claim(row)
		same := k.ParticleSize == size || math.IsNaN(k.ParticleSize) && math.IsNaN(size)
		if ok && same && k.Efficiency < 100 {
			out[row] = 100 / (100 - k.Efficiency)
		}
	}
	return out
}

// efficiency converts a beta ratio to per cent.
func efficiency(claimed float64) float64 { return 100 - 100/claimed }

// claimsCount states which claims are used.
func (m *Model) claimsCount() string {
	sentence := "what the box claims counts among the contents, as asked"
	if math.IsNaN(m.claimedAt) {
		return sentence
	}
	others := 0
	for row := range m.log.Rows() {
		if k, ok := m.log.Claim(row); ok && k.ParticleSize != m.claimedAt {
			others++
		}
	}
	sentence += fmt.Sprintf(": claims at %g µm", m.claimedAt)
	if others > 0 {
		sentence += fmt.Sprintf("; openings with one at another size or at none, which is another claim: %d", others)
	}
	return sentence
}
