package price

import (
	"testing"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/num"
	"pleatstat/stats/trend"
)

// With 8 to 19 products prices are judged: the ranges are wide and have their
// coverage, and sound parts are hardly ever graded beyond a hint.
func TestFewProductsAreJudgedWithCare(t *testing.T) {
	if testing.Short() {
		t.Skip("simulates many logs")
	}
	for _, n := range []int{LeastProducts, 12, trend.FewPoints - 1} {
		const markets = 40
		parts, outside, sure := 0, 0, 0
		var widths []float64
		for k := range markets {
			log, err := sim.NewMarket(sim.MarketOptions{Rows: n, Seed: 3000 + uint64(k)}).Log()
			if err != nil {
				t.Fatal(err)
			}
			m := fitted(t, log, Options{})
			for _, j := range m.All() {
				parts++
				if j.ByInside.Side() != 0 {
					outside++
				}
				if j.Grade == trend.Clear || j.Grade == trend.Probable {
					sure++
				}
				widths = append(widths, j.High/j.Low)
				if len(j.Warnings) == 0 {
					t.Fatalf("%d products: nothing is said of how few they are", n)
				}
			}
		}
		t.Logf("%d products: %.3f outside the range, %d of %d beyond a hint; the ends of the range are %.2f times apart", n,
			float64(outside)/float64(parts), sure, parts, num.Median(widths))
		if share := float64(outside) / float64(parts); share > 0.075 {
			t.Errorf("%d products: %.3f of honest prices outside their range", n, share)
		}
		if sure > 0 { // lessSure
			t.Errorf("%d products: %d of %d honest prices told beyond a hint", n, sure, parts)
		}
	}
}
