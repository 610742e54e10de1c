package num

import (
	"math/bits"
	"math/rand/v2"
)

// Shuffle puts values in random order (Fisher and Yates), each draw by the
// multiplication of D. Lemire (2019), ACM Transactions on Modeling and Computer
// Simulation 29(1), article 3: the orders rand.Rand's Shuffle would draw, without
// its two indirect calls a value, which take longer than the rest.
func Shuffle(draw *rand.PCG, v []float64) {
	for n := uint64(len(v)); n > 1; n-- {
		bits64 := draw.Uint64()
		at, low := bits.Mul64(bits64, n)
		if n&(n-1) == 0 {
			at = bits64 & (n - 1)
		} else if low < n { // rare, so that the division is hardly ever paid for
			for least := -n % n; low < least; {
				at, low = bits.Mul64(draw.Uint64(), n)
			}
		}
		v[n-1], v[at] = v[at], v[n-1]
	}
}
