package slip

import (
	"strings"
	"testing"
)

// Exchanging two digits twice, and moving the point there and back, restores the
// text.
func TestTurnAndShift(t *testing.T) {
	for _, c := range []struct{ text, shifted string }{{"0.47", "4.7"}, {"184.2", "1842"}, {"66", "660"}, {"0,48", "4,8"}, {"12.30", "123.0"}} {
		for k := range len(c.text) - 1 {
			if twice := Turn(Turn(c.text, k), k); twice != c.text {
				t.Errorf("turned twice at %d: %s gives %s", k, c.text, twice)
			}
		}
		if got := shift(c.text, 1); got != c.shifted {
			t.Errorf("shift(%s, 1) = %s, want %s", c.text, got, c.shifted)
		}
		if back := strings.TrimSuffix(shift(shift(c.text, 1), -1), ".0"); back != c.text {
			t.Errorf("%s there and back is %s", c.text, back)
		}
	}
}
