package price

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pleatstat/stats/trend"
)

// twoYears is a log of 48 sound parts whose prices rise at a yearly rate: 42
// first opened in 2017, six only in 2026.
func twoYears(seed uint64, rise float64) string {
	rng := rand.New(rand.NewPCG(seed, 17))
	var b strings.Builder
	b.WriteString("opened,maker,part,price,media_area_cm2\n")
	for i := range 48 {
		year := 2017
		if i%8 == 5 {
			year = 2026
		}
		month := 1 + rng.IntN(12)
		area := 550 * math.Exp(0.35*rng.NormFloat64())
		price := 0.03 * math.Pow(area, 0.9) * math.Exp(0.16*rng.NormFloat64()) *
			math.Pow(1+rise, float64(year-2017)+(float64(month)-0.5)/12)
		fmt.Fprintf(&b, "%d-%02d,%s,P%02d,%.2f,%.0f\n", year, month, []string{"Skerrow", "Lowmere", "Orrinvale"}[i%3], i, price, area)
	}
	return b.String()
}

// told counts the verdicts beyond a hint, all verdicts of being off, and those on
// parts of 2026.
func told(t *testing.T, text string) (sure, all, late int) {
	t.Helper()
	m := fitted(t, readCSV(t, text), Options{})
	for _, v := range m.Verdicts() {
		if !v.Off() {
			continue
		}
		all++
		if v.Grade != trend.Hint {
			sure++
		}
		if strings.HasPrefix(v.PriceDate, "2026") {
			late++
		}
	}
	return sure, all, late
}

// Sound parts that were bought later are not called dear: with rising prices
// there are no more flags than in the same log without a rise.
func TestARiseOfPricesFlagsNobody(t *testing.T) {
	if testing.Short() {
		t.Skip("simulates many logs")
	}
	rises := []float64{0.03, 0.05, 0.08}
	var twins, risen, late, lateTwins int
	for seed := range uint64(11) {
		twinSure, twinAll, twinLate := told(t, twoYears(seed, 0))
		twins += twinAll
		lateTwins += twinLate
		for _, rise := range rises {
			sure, all, n := told(t, twoYears(seed, rise))
			risen, late = risen+all, late+n
			if sure > twinSure || all > twinAll+1 {
				t.Errorf("seed %d, %.0f %% a year: %d told, %d beyond a hint; without a rise %d and %d", seed, 100*rise, all, sure, twinAll, twinSure)
			}
		}
	}
	t.Logf("told in %d logs that rise: %d, of parts of 2026 %d; in their %d twins %d, %d", 11*len(rises), risen, late, 11, twins, lateTwins)
	if risen > len(rises)*twins || late > len(rises)*lateTwins {
		t.Errorf("told in logs that rise: %d, of 2026 %d; three times their twins: %d, %d", risen, late, 3*twins, 3*lateTwins)
	}
}

// Prices without a date are judged, without conversion to the money of a year;
// where only some have a date, the others count as prices of the middle of the
// log's years.
func TestUndatedPricesAreJudged(t *testing.T) {
	var undated []string
	for i, line := range strings.Split(strings.TrimSpace(twoYears(1, 0)), "\n") {
		_, rest, _ := strings.Cut(line, ",")
		if i > 0 {
			rest = "," + rest
		} else {
			rest = "opened," + rest
		}
		undated = append(undated, rest)
	}
	m := fitted(t, readCSV(t, strings.Join(undated, "\n")), Options{})
	if !math.IsNaN(m.MoneyOf()) {
		t.Errorf("the money of %v", m.MoneyOf())
	}
	if _, ok := m.Rise(); ok {
		t.Error("a rise is told of a log without dates")
	}
	for _, v := range m.Verdicts() {
		if v.Grade == trend.CannotSay || v.MoneyOf != "" || v.PriceDate != "" || math.Abs(v.Price/v.Paid-1) > 1e-12 {
			t.Fatalf("%+v", v)
		}
	}
	one := strings.Replace(twoYears(1, 0.05), "2017-", ",Skerrow,Q,8.50,500\n2017-", 1)
	j, err := fitted(t, readCSV(t, one), Options{}).Judge("Skerrow", "Q")
	if err != nil || j.Grade == trend.CannotSay || !strings.Contains(strings.Join(j.Warnings, "\n"), "no date is recorded") {
		t.Errorf("%+v, %v", j, err)
	}
}

// The price judged is the last one paid, in the money of the last opening.
func TestThePriceJudgedIsTheLastPaid(t *testing.T) {
	text := twoYears(2, 0.05) + "2018-03,Lowmere,again,6.00,500\n2024-06,Lowmere,again,9.00,500\n2021-01,Lowmere,again,7.50,500\n"
	m := fitted(t, readCSV(t, text), Options{})
	j, err := m.Judge("Lowmere", "again")
	if err != nil {
		t.Fatal(err)
	}
	rise, _ := m.Rise()
	if j.Paid < 8.999 || j.Paid > 9.001 || j.PriceDate != "2024-06" || j.N != 3 || fmt.Sprint(j.Lines) != "[50 51 52]" {
		t.Errorf("%+v", j.Verdict)
	}
	if want := 9 * math.Pow(1+rise.PerYear, m.MoneyOf()-2024.45); math.Abs(j.Price/want-1) > 0.03 {
		t.Errorf("9.00 of June 2024 is %.2f in the money of %.1f, want about %.2f at %.3f a year", j.Price, m.MoneyOf(), want, rise.PerYear)
	}
	if math.Abs(j.Ratio-j.Price/j.Fair) > 1e-12 || math.Abs(j.MoneyAbove-(j.Price-j.Fair)) > 1e-12 {
		t.Errorf("%+v", j.Verdict)
	}
}
