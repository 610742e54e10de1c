package trend

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// The two ways of choosing the rows of a trend, by the data frame and by plain
// slices, choose the same ones in the same order.
func TestFrameAndSlicesChooseTheSameRows(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	var b strings.Builder
	b.WriteString("maker,part,can_gauge_mm,can_mass_g,total_mass_g\n")
	for range 3000 {
		part := fmt.Sprintf("W %d", rng.IntN(400))
		if rng.IntN(50) == 0 {
			part = "" // a product of its own
		}
		value := func(format string, v float64) string {
			if rng.IntN(4) == 0 {
				return ""
			}
			return fmt.Sprintf(format, v)
		}
		fmt.Fprintf(&b, "Wexcombe,%s,%s,%s,%s\n", part, value("%.2f", 0.3+0.3*rng.Float64()),
			value("%.1f", 60+60*rng.Float64()), value("%.1f", 100*rng.Float64()-1))
	}
	log := read(t, b.String())
	for _, def := range Standard()[1:3] {
		for _, perOpening := range []bool{false, true} {
			in := inputs{log: log, def: def, y: log.Floats(def.Response), x: log.Floats(def.Predictor)}
			if def.Lacking != "" {
				in.lacking = log.Floats(def.Lacking)
			}
			framed, err := in.framed(perOpening)
			if err != nil {
				t.Fatal(err)
			}
			walked := in.walked(perOpening)
			if len(walked) < 100 || !slices.Equal(framed, walked) {
				t.Errorf("%s, per opening %t: %d rows by the frame, %d by slices, or in another order", def.ID, perOpening, len(framed), len(walked))
			}
		}
	}
}

func TestWordsSayNoUnit(t *testing.T) {
	for column, want := range map[string]string{
		"can_gauge": "can gauge", "price_per_area": "price per area", "price_per_100g": "price per mass", "opened": "date opened", "own column": "own column",
	} {
		if got := Words(column); got != want {
			t.Errorf("%s is said as %q, want %q", column, got, want)
		}
	}
}
