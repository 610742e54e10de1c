package outlier

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

func BenchmarkScreen(b *testing.B) {
	for _, n := range []int{60, 300, 3000, 20_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			d, y := shelf(rand.New(rand.NewPCG(1, 1)), n, n/12, 2.2)
			for b.Loop() {
				if _, err := Screen(d, y, ScreenOptions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
