package compare

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pleatstat/stats/drift"
	"pleatstat/stats/price"
)

// Both sides of each rule; the numbers are repeated here on purpose.

// At most one in twenty of the differences reported is expected to be false.
func TestFalseRateRule(t *testing.T) {
	for p, beyond := range map[float64]bool{0.049: true, 0.051: false} {
		l := newLedger(read(t, twoParts), nil, nil)
		b := newBench(l, OfParts, nil, confidence)
		nan := math.NaN()
		c := &Comparison{Measures: []Measure{{Column: "total_mass", Basis: ByOpenings,
			Values:      []Value{{Mean: 200, N: 1, SE: nan}, {Mean: 150, N: 1, SE: nan}},
			Differences: []Difference{{By: -50, BenchLimit: 0.1, P: p}}}}}
		if b.decide(c); c.Measures[0].Differences[0].Beyond != beyond {
			t.Errorf("p %g of one measure: beyond %t", p, !beyond)
		}
	}
}

// A difference exceeds the repeatability at 95 %: two single readings with a
// standard deviation of 0.01 mm (4 degrees of freedom) differ from 2.776445 times
// 0.01·√2 on (Student's t, handbook table).
func TestConfidenceRule(t *testing.T) {
	c, err := Parts(read(t, twoParts), []price.Product{{Maker: "Lowmere", Part: "L4035"}, {Maker: "Wexcombe", Part: "W 610"}}, nil, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := measure(t, c, "can_gauge").Differences[0].BenchLimit, 2.776445*0.01*math.Sqrt2; math.Abs(got-want) > 1e-7 {
		t.Errorf("limit %g, want %g", got, want)
	}
}

// The scatter between openings of one part is estimated from 10 pairs on.
func TestPairsRule(t *testing.T) {
	for openings, basis := range map[int]Basis{10: ByStep, 11: ByOpenings} {
		text := "opened,maker,part,total_mass_g\n2025-01-02,Lowmere,L 1,250.3\n"
		for i := range openings {
			month := time.Date(2024, time.Month(1+i), 5, 0, 0, 0, 0, time.UTC)
			text += fmt.Sprintf("%s,Skerrow,SK 1,200.%d\n", month.Format(time.DateOnly), i*i%7)
		}
		c, err := Parts(read(t, text), []price.Product{{Maker: "Skerrow", Part: "SK 1"}, {Maker: "Lowmere", Part: "L 1"}}, nil, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if m := measure(t, c, "total_mass"); m.Basis != basis {
			t.Errorf("%d pairs: by %v, want %v: a standard deviation of fewer is known too poorly", m.Pairs, m.Basis, basis)
		}
	}
}

// The scatter between the parts of a maker is estimated from 10 parts beyond one
// per maker on.
func TestPartsRule(t *testing.T) {
	for parts, told := range map[int]bool{11: false, 12: true} {
		text := "maker,part,total_mass_g\n"
		for i := range parts {
			text += fmt.Sprintf("%s,P %d,20%d.5\n", []string{"Skerrow", "Lowmere"}[i%2], i, i*i%7)
		}
		c, err := Makers(read(t, text), []string{"Skerrow", "Lowmere"}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if m := measure(t, c, "total_mass"); (m.Basis == ByOpenings) != told {
			t.Errorf("%d parts of 2 makers: by %v", parts, m.Basis)
		}
	}
}

// For a measure that keeps changing, the openings of the part's last year count.
func TestRecentRule(t *testing.T) {
	last := time.Date(2025, time.June, 30, 0, 0, 0, 0, time.UTC)
	for days, n := range map[int]int{355: 2, 375: 1} {
		text := fmt.Sprintf("opened,maker,part,can_gauge_mm\n%s,Skerrow,SK 1,0.45\n%s,Skerrow,SK 1,0.40\n",
			last.AddDate(0, 0, -days).Format(time.DateOnly), last.Format(time.DateOnly))
		log := read(t, text)
		l := newLedger(log, []drift.Entry{{Maker: "Skerrow", Measure: "can_gauge", Verdict: drift.Falling, Statement: drift.Statement{Shape: drift.AsSlope}}}, nil)
		s := subject{Product: Product{Maker: "Skerrow", Part: "SK 1"}}
		s.take(log, []int{0, 1})
		if units, stale := l.today(s, "can_gauge", log.Floats("can_gauge")); len(units) != n || stale {
			t.Errorf("an opening %d days before the last: %d count", days, len(units))
		}
	}
}

// An opening may be a slip from 3.5 standard deviations off the others on; of two
// openings that lie so far apart either may be.
func TestSlipOfAnOpeningRule(t *testing.T) {
	for off, ways := range map[float64]int{3.4: 1, 3.6: 2} {
		if got := len(Value{scaled: off / 4, each: []float64{0, 0, 0, off}}.sound(1)); got != ways {
			t.Errorf("%g standard deviations off three others: %d values", off, got)
		}
		if got := len(Value{scaled: off / math.Sqrt2, each: []float64{0, off * math.Sqrt2}}.sound(1)); got != 2*ways-1 {
			t.Errorf("two openings %g standard deviations apart: %d values", off, got)
		}
	}
}
