package dataset

import (
	"strings"
	"testing"
)

// An unknown word becomes a category of its own, whatever its case, and is
// reported once.
func TestAKindOfItsOwn(t *testing.T) {
	l := mustRead(t, "maker,part,drain_back,pleats\nSkerrow,SK-1,Felt,51\nSkerrow,SK-2,felt,52\nSkerrow,SK-3,black rubber,52\nSkerrow,SK-4,FELT,50\n", Options{})
	if got := strings.Join(l.Strings("drain_back"), ","); got != "Felt,Felt,nitrile,Felt" {
		t.Error(got)
	}
	if ps := messages(l, "kept as a kind of its own"); len(ps) != 1 || ps[0].Line != 2 || ps[0].Text != "Felt" {
		t.Errorf("%+v", ps)
	}
}

func TestPricesOfPacks(t *testing.T) {
	l := mustRead(t, "maker,part,price,pack,pleats\nSkerrow,SK-1,$12.99 (2 pack),,51\nSkerrow,SK-2,$12 (2 pack),2,52\nSkerrow,SK-3,$9,3,62 (est)\nSkerrow,SK-4,$9,,51 (2 pack)\n", Options{})
	want := []float64{6.495, 6, 3, 9}
	for i, v := range l.Floats("price") {
		if v != want[i] {
			t.Errorf("price %d is %g, want %g", i, v, want[i])
		}
	}
	if rough := l.byName["pleats"].Approx; len(rough) != 1 || rough[0] != 2 {
		t.Errorf("rough readings in rows %v", rough)
	}
	if cell, _ := l.Cell(0, "price"); cell.Value != 6.495 || cell.Readings[0] != 6.495 {
		t.Errorf("%+v", cell)
	}
	if len(messages(l, "is said of a pack of 2")) != 1 {
		t.Errorf("%+v", l.Problems())
	}
}
