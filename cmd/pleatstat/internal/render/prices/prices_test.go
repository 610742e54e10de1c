package prices

import (
	"testing"

	"pleatstat/cmd/pleatstat/internal/render/wording"
)

func TestHowFarAPriceIsOff(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{TimesUsual(2.45), "2.5 times"},
		{TimesUsual(1.37), "37 % above"},
		{TimesUsual(0.41), "59 % below"},
		{TimesUsual(1.004), "the same"},
		{effect(1.0004), "no change"},
		{effect(1.0812), "+8.1 %"},
		{effect(0.9), "−10.0 %"},
	} {
		if wording.Spaced(c.got) != c.want {
			t.Errorf("got %q, want %q", wording.Spaced(c.got), c.want)
		}
	}
}
