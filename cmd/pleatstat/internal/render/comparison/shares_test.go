package comparison

import (
	"testing"

	"pleatstat/cmd/pleatstat/internal/render/wording"
)

func TestSharesAsTheyAreSaid(t *testing.T) {
	for share, want := range map[float64]string{0.1: "a tenth", 0.087: "a tenth", 0.19: "a fifth", 0.5: "half", 0.07: "7 %", 0.03: "3 %"} {
		if got := wording.Spaced(shareInWords(share)); got != want {
			t.Errorf("%g is said as %q, want %q", share, got, want)
		}
	}
}
