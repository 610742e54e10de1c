package price

import (
	"math"
	"testing"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

// Requirements on the judgement, on a few simulated markets. The calibration
// command runs the full grid; see DEVELOPERS.md.
func TestBarsOnSimulatedMarkets(t *testing.T) {
	const (
		worseThanArea  = 1.02 // median error where contents do not matter
		betterThanArea = 0.85 // where they do
		coverage       = 0.02
		simulation     = 2.0 // standard errors over markets added to that
	)
	for name, c := range map[string]struct {
		o       sim.MarketOptions
		markets int
		most    float64 // median error over that of area alone
	}{
		"contents do not matter":           {sim.MarketOptions{Rows: 60, Blanks: 0.3, Overpriced: 0.1}, 12, worseThanArea},
		"contents do not matter, few rows": {sim.MarketOptions{Rows: 40, Blanks: 0.6}, 16, worseThanArea},
		"contents matter":                  {sim.MarketOptions{Rows: 120, Overpriced: 0.1, Matter: true, Reopened: 0.1}, 8, betterThanArea},
		"contents matter, blanks":          {sim.MarketOptions{Rows: 200, Blanks: 0.3, Overpriced: 0.15, Matter: true, Reopened: 0.1}, 5, betterThanArea},
		"contents matter, few rows":        {sim.MarketOptions{Rows: 40, Matter: true}, 16, betterThanArea},
		"the same, overpriced":             {sim.MarketOptions{Rows: 40, Overpriced: 0.15, Matter: true}, 16, betterThanArea},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			var errors, area, rule []float64
			var in80, in95 []float64 // by market
			for k := range c.markets {
				o := c.o
				o.Seed = 1000 + uint64(k)
				m := sim.NewMarket(o)
				log, err := m.Log()
				if err != nil {
					t.Fatal(err)
				}
				n, within80, within95 := 0.0, 0.0, 0.0
				model := fitted(t, log, Options{})
				judged := byProduct(model.All())
				for _, p := range m.Products {
					j, ok := judged[Product{p.Maker, p.Part}]
					if !ok || !p.Clean {
						continue
					}
					errors = append(errors, math.Abs(math.Log(j.Ratio)))
					area = append(area, math.Abs(math.Log(j.Price/model.ByAreaAlone(Product{p.Maker, p.Part}))))
					rule = append(rule, math.Abs(math.Log(j.Verdict.Paid)-p.Expected))
					n++
					if j.Price >= j.Low80 && j.Price <= j.High80 {
						within80++
					}
					if j.Price >= j.Low && j.Price <= j.High {
						within95++
					}
				}
				in80, in95 = append(in80, within80/n), append(in95, within95/n)
			}
			ratio := num.Median(errors) / num.Median(area)
			t.Logf("%d products: error %.3f, by area %.3f, by the rule %.3f; in 80 %%: %.3f, in 95 %%: %.3f",
				len(errors), num.Median(errors), num.Median(area), num.Median(rule), num.Mean(in80), num.Mean(in95))
			if ratio > c.most {
				t.Errorf("median error %.3f of that by area alone, want at most %.2f", ratio, c.most)
			}
			for _, r := range []struct {
				got  []float64
				want float64
			}{{in80, 0.80}, {in95, 0.95}} {
				allowed := coverage + simulation*num.SD(r.got)/math.Sqrt(float64(len(r.got)))
				if math.Abs(num.Mean(r.got)-r.want) > allowed {
					t.Errorf("coverage %.3f, want %.2f within %.3f", num.Mean(r.got), r.want, allowed)
				}
			}
		})
	}
}

// The contributions recover the planted effects within the sampling error of one
// market: the standard error of least squares on all contents. Shrinkage puts the
// mean a little below.
func TestContributionsFindWhatWasPlanted(t *testing.T) {
	var power, premium, powerSE, premiumSE []float64
	for k := range 6 {
		m := sim.NewMarket(sim.MarketOptions{Rows: 300, Overpriced: 0.05, Matter: true, Seed: 50 + uint64(k)})
		log, err := m.Log()
		if err != nil {
			t.Fatal(err)
		}
		judged := byProduct(fitted(t, log, Options{}).All())
		var gauge, effect []float64
		factors := map[string][]float64{}
		for _, p := range m.Products {
			for _, c := range judged[Product{p.Maker, p.Part}].Contributions {
				switch c.Content {
				case "can_gauge":
					gauge, effect = append(gauge, math.Log(p.Numbers[2])), append(effect, math.Log(c.Factor))
				case "media_type":
					factors[c.Value] = append(factors[c.Value], math.Log(c.Factor))
				}
			}
		}
		f, err := linear.LeastSquares(linear.Design{Columns: [][]float64{gauge}}, effect)
		if err != nil {
			t.Fatal(err)
		}
		power = append(power, f.Coef[1])
		premium = append(premium, num.Mean(factors[sim.MediaTypes[3]])-num.Mean(factors[sim.MediaTypes[0]]))
		a, b := plainErrors(t, m)
		powerSE, premiumSE = append(powerSE, a), append(premiumSE, b)
	}
	for what, c := range map[string]struct {
		got, se []float64
		planted float64
	}{
		"power of the can gauge":  {power, powerSE, sim.GaugePower},
		"premium of wire backing": {premium, premiumSE, sim.Premiums[3] - sim.Premiums[0]},
	} {
		mean, se := num.Mean(c.got), num.Mean(c.se)
		t.Logf("%s: mean %.3f over markets, planted %.3f, sampling error of one %.3f", what, mean, c.planted, se)
		if math.Abs(mean-c.planted) > se {
			t.Errorf("%s: mean %.3f over markets, planted %.3f, sampling error of one %.3f", what, mean, c.planted, se)
		}
	}
}

// plainErrors returns the standard errors of the elasticity of price in can gauge
// and of the premium of wire backing over cellulose, by least squares on all
// contents of the clean products of a market without missing values.
func plainErrors(t *testing.T, m *sim.Market) (power, premium float64) {
	t.Helper()
	d := linear.Design{Columns: make([][]float64, 9)}
	var y []float64
	for _, p := range m.Products {
		if !p.Clean {
			continue
		}
		y = append(y, p.Paid)
		row := []float64{p.Opened}
		for k, v := range p.Numbers {
			if k == 4 {
				v = 1 / (1 - v/100) // beta ratio
			}
			row = append(row, math.Log(v))
		}
		for _, media := range sim.MediaTypes[1:] { // cellulose is the baseline
			is := 0.0
			if p.Words[0] == media {
				is = 1
			}
			row = append(row, is)
		}
		for j, v := range row {
			d.Columns[j] = append(d.Columns[j], v)
		}
	}
	f, err := linear.LeastSquares(d, y)
	if err != nil {
		t.Fatal(err)
	}
	return f.SE[1+3], f.SE[len(f.SE)-1]
}
