package compare

import (
	"math"
	"testing"

	"pleatstat/stats/price"
)

// The limit for counts: without repeated counts, one miscount by the column's
// step in one opening; with them, their repeatability by Student's t (3.182446 at
// 3 degrees of freedom and 97.5 %, handbook table).
func TestCountsToldApart(t *testing.T) {
	names := []price.Product{{Maker: "Skerrow", Part: "SK 1"}, {Maker: "Lowmere", Part: "L 1"}}
	compared := func(text string) Comparison {
		c, err := Parts(read(t, "maker,part,pleats,inlet_holes,light_spots\n"+text), names, nil, Options{})
		if err != nil {
			t.Fatal(err)
		}
		return *c
	}
	for _, c := range []struct {
		name, text string
		pleats     float64 // limit
		beyond     bool
	}{
		{"one each, one pleat apart", "Skerrow,SK 1,66,8,0\nLowmere,L 1,67,7,1\n", 1, false},
		{"one each, two apart", "Skerrow,SK 1,66,8,0\nLowmere,L 1,68,7,1\n", 1, true},
		{"two each, one apart", "Skerrow,SK 1,66,8,0\nSkerrow,SK 1,66,8,0\nLowmere,L 1,67,7,1\nLowmere,L 1,67,7,1\n", 0.5, true},
		{"counted twice, always alike", "Skerrow,SK 1,66; 66,8,0\nLowmere,L 1,67; 67; 67,7,1\n", 0, true},
		{"counted twice, one out", "Skerrow,SK 1,66; 67,8,0\nLowmere,L 1,68; 67; 68,7,1\n", 3.182446 * math.Sqrt((0.5+2.0/3)/3) * math.Sqrt(1.0/2+1.0/3), false},
	} {
		got := compared(c.text)
		p := measure(t, &got, "pleats").Differences[0]
		if math.Abs(p.Limit-c.pleats) > 1e-6 || p.Beyond != c.beyond {
			t.Errorf("%s: %+v, want a limit of %g", c.name, p, c.pleats)
		}
		if h := measure(t, &got, "inlet_holes").Differences[0]; !h.Beyond {
			t.Errorf("%s: eight holes and seven are seen at a glance: %+v", c.name, h)
		}
	}
}
