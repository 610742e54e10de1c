package card

import (
	"fmt"
	"testing"

	"pleatstat/stats/price"
)

// Two gaskets seal on the same face up to 1 mm apart; the number is repeated here
// on purpose.
func TestGasketRule(t *testing.T) {
	for gasket, other := range map[string]int{"65.9": 0, "66.1": 1} {
		b := prepare(t, read(t, "maker,part,thread,gasket_od_mm\nLowmere,itself,M20x1.5,65\nSkerrow,another,M20x1.5,"+gasket+"\n"))
		if m := b.mount(price.Product{Maker: "Lowmere", Part: "itself"}, Room{}); m.Gaskets != other {
			t.Errorf("%s mm beside 65 mm: %d of another gasket", gasket, m.Gaskets)
		}
	}
}

// Five parts with one thread make a ranking of their own.
func TestThreadRule(t *testing.T) {
	for n, told := range map[int]bool{4: false, 5: true} {
		text := "opened,maker,part,thread,can_gauge_mm\n"
		for i := range 9 {
			thread := "M20x1.5"
			if i >= n {
				thread = "M18x1.5"
			}
			text += fmt.Sprintf("2026-03-%02d,Skerrow,SK %d,%s,0.%d\n", 1+i, i, thread, 40+i)
		}
		of := 0
		for _, p := range prepare(t, read(t, text)).places(price.Product{Maker: "Skerrow", Part: "SK 0"}, "M20x1.5") {
			if p.Thread != "" {
				of++
			}
		}
		if (of > 0) != told {
			t.Errorf("%d parts with the thread: %d places among them", n, of)
		}
	}
}
