package dataset

import (
	"errors"
	"math"
	"strings"
	"testing"
)

const twoCurrencies = "maker,part,price,price_currency,rate,media_area_cm2\n" +
	"Skerrow,SK 1,8.00,GBP,,400\nSkerrow,SK 2,9.00,GBP,2.5,410\nLowmere,L1,10.00,EUR,,420\nLowmere,L2,10.00,EUR,0.9,430\nLowmere,L3,10.00,USD,,440\nLowmere,L4,10.00,USD,-1,450\n"

func TestRatesTakeInOtherCurrencies(t *testing.T) {
	log, err := Read(strings.NewReader(twoCurrencies), "log.csv", Options{Rates: map[string]float64{"€": 0.86, "£": 3}})
	if err != nil {
		t.Fatal(err)
	}
	// The rate in a row takes precedence over the one for the log. Prices in
	// the log's own currency are not converted.
	for row, want := range []float64{8, 9, 8.6, 9, math.NaN(), math.NaN()} {
		if got := log.Floats("price")[row]; !(math.Abs(got-want) < 1e-12) && !(math.IsNaN(got) && math.IsNaN(want)) {
			t.Errorf("row %d: %g, want %g", row, got, want)
		}
	}
	if got := log.ForeignPrices(); len(got) != 1 || got[0] != (Foreign{"$", 2}) {
		t.Errorf("left out: %v", got)
	}
	found := 0
	for _, p := range log.Problems() {
		if p.Name == "rate" && p.Severity == Unusable && strings.Contains(p.Message, "above zero") || p.Name == "price" && strings.Contains(p.Message, "--rate $=0.86") {
			found++
		}
	}
	if found != 3 { // two prices left out, one bad rate
		t.Errorf("%d problems told: %v", found, log.Problems())
	}
	if aside := log.SetAside(nil); aside.Floats("price")[2] != 8.6 || len(aside.ForeignPrices()) != 1 {
		t.Error("a log with readings set aside forgets the rates")
	}
	plain, err := Read(strings.NewReader(twoCurrencies), "log.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got := plain.ForeignPrices(); len(got) != 2 || got[0].Rows+got[1].Rows != 3 {
		t.Errorf("without rates, left out: %v", got)
	}
}

func TestRatesThatCannotBeUsed(t *testing.T) {
	good, err := ParseRates([]string{"EUR=0.86", " usd = 0.8"})
	if err != nil || good["€"] != 0.86 || good["$"] != 0.8 {
		t.Errorf("%v, %v", good, err)
	}
	for text, says := range map[string]string{
		"EUR": "has no =", "EUR=0": "above zero", "EUR=-2": "above zero", "EUR=NaN": "above zero", "EUR=Inf": "above zero",
		"EUR=x": "not a number", "QQQ=2": "no currency that is known", "=2": "no currency that is known",
	} {
		var bad *RateError
		if _, err := ParseRates([]string{text}); !errors.As(err, &bad) || !strings.Contains(err.Error(), says) || !strings.Contains(err.Error(), "EUR=0.86") {
			t.Errorf("%q: %v, want %q and what would do", text, err, says)
		}
	}
	if _, err := ParseRates([]string{"EUR=1", "€=2"}); err == nil {
		t.Error("two rates of one currency are taken")
	}
}
