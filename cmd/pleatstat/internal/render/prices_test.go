package render

import "testing"

func TestHowFarAPriceIsOff(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{timesUsual(2.45), "2.5 times"},
		{timesUsual(1.37), "37 % above"},
		{timesUsual(0.41), "59 % below"},
		{timesUsual(1.004), "the same"},
		{effect(1.0004), "no change"},
		{effect(1.0812), "+8.1 %"},
		{effect(0.9), "−10.0 %"},
	} {
		if spaced(c.got) != c.want {
			t.Errorf("got %q, want %q", spaced(c.got), c.want)
		}
	}
}
