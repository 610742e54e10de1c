package main

import (
	"flag"
	"fmt"
	"io"
	"math"

	"pleatstat/cmd/calibrate/baseline"
	"pleatstat/cmd/calibrate/sim"
	"pleatstat/dataset"
	"pleatstat/stats/linear"
	"pleatstat/stats/num"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// runPrice measures the accuracy of expected prices on simulated markets, over a
// grid of sizes, blanks and shares of overpriced products, and on a log.
func runPrice(args []string, stdout io.Writer) error {
	flags := flag.NewFlagSet("price", flag.ContinueOnError)
	flags.SetOutput(stdout)
	seed := flags.Uint64("seed", 1, "seed of the markets")
	openings := flags.Int("openings", 3000, "openings simulated for each line of the table")
	log := flags.String("log", "testdata/demo/harbour.csv", "log to judge as well; empty for none")
	heavy := flags.Bool("heavy-tails", false, "prices scatter like Student's t with 5 degrees of freedom")
	sizes := flags.String("rows", "40,80,200,1000", "openings of the markets")
	tableOnly := flags.Bool("table-only", false, "leave out what contents do and the log")
	if err := flags.Parse(args); err != nil {
		return err
	}
	noise := sim.Normal
	if *heavy {
		noise = sim.LongTailed
	}
	each, err := numbersOf(*sizes)
	if err != nil {
		return fmt.Errorf("-rows %q: want numbers of openings, such as 40,80", *sizes)
	}
	fmt.Fprintln(stdout, "Median absolute log error of products that are not overpriced, each judged without itself; coverage of its ranges.")
	fmt.Fprintln(stdout)
	fmt.Fprintln(stdout, "| rows | blanks | overpriced | contents matter | contents model | area alone | least squares on area and date | least squares on everything | told all but the coefficients | the rule, same blanks | the rule itself | model / area | told / area | 80 % | 95 % |")
	fmt.Fprintln(stdout, "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
	for _, rows := range each {
		for _, matter := range []bool{false, true} {
			for _, blanks := range []float64{0, 0.3, 0.6} {
				for _, overpriced := range []float64{0, 0.05, 0.15} {
					o := sim.MarketOptions{Rows: rows, Blanks: blanks, Overpriced: overpriced, Matter: matter, Noise: noise, Reopened: 0.1, Seed: *seed}
					t, err := simulatePrices(o, max(*openings/rows, 4))
					if err != nil {
						return err
					}
					fmt.Fprintf(stdout, "| %d | %.0f %% | %.0f %% | %s | %s\n", rows, 100*blanks, 100*overpriced, yesNo(matter), t.cells())
				}
			}
		}
	}
	if *tableOnly {
		return nil
	}
	if err := plantedContents(stdout, *seed); err != nil {
		return err
	}
	if *log == "" {
		return nil
	}
	return priceLog(stdout, *log)
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// priceTally holds the absolute errors of the log price by each method, one for each
// product that is not overpriced, and the number of prices within the model's ranges.
type priceTally struct {
	model, area, areaLine, all, oracle, recorded, rule []float64
	in80, in95                                         int
}

func (t *priceTally) add(o priceTally) {
	t.model, t.area, t.areaLine = append(t.model, o.model...), append(t.area, o.area...), append(t.areaLine, o.areaLine...)
	t.all, t.oracle = append(t.all, o.all...), append(t.oracle, o.oracle...)
	t.recorded, t.rule = append(t.recorded, o.recorded...), append(t.rule, o.rule...)
	t.in80 += o.in80
	t.in95 += o.in95
}

func (t *priceTally) cells() string {
	n := float64(len(t.model))
	model, area, oracle := num.Median(t.model), num.Median(t.area), num.Median(t.oracle)
	return fmt.Sprintf("%.3f | %.3f | %.3f | %s | %s | %s | %s | %.3f | %s | %.3f | %.3f |",
		model, area, num.Median(t.areaLine), cell(num.Median(t.all)), cell(oracle), cell(num.Median(t.recorded)), cell(num.Median(t.rule)),
		model/area, cell(oracle/area), float64(t.in80)/n, float64(t.in95)/n)
}

func cell(v float64) string {
	if math.IsNaN(v) {
		return "–"
	}
	return fmt.Sprintf("%.3f", v)
}

// simulatePrices simulates and judges a number of markets, each with its own seed.
func simulatePrices(o sim.MarketOptions, times int) (*priceTally, error) {
	results, err := inOrder(times, func(k int) (priceTally, error) {
		each := o
		each.Seed = o.Seed<<32 + uint64(k)
		m, model, err := fittedMarket(each)
		if err != nil {
			return priceTally{}, err
		}
		return tally(m, model), nil
	})
	var total priceTally
	for _, r := range results {
		total.add(r)
	}
	return &total, err
}

// fittedMarket simulates a market and fits its prices.
func fittedMarket(o sim.MarketOptions) (*sim.Market, *price.Model, error) {
	m := sim.NewMarket(o)
	log, err := m.Log()
	if err != nil {
		return nil, nil, err
	}
	model, err := price.Fit(log, price.Options{})
	return m, model, err
}

// tally compares the prices of products that are not overpriced with those
// expected by the model, by the methods of package baseline and by the rule of
// the market.
func tally(m *sim.Market, model *price.Model) priceTally {
	place := map[price.Product]int{}
	for i, p := range m.Products {
		place[price.Product{Maker: p.Maker, Part: p.Part}] = i
	}
	line := baseline.Line(m)
	oracle := baseline.PriceOracle(m)
	all := baseline.Everything(m)
	var t priceTally
	for _, j := range model.All() {
		i := place[price.Product{Maker: j.Maker, Part: j.Part}]
		if !m.Products[i].Clean || j.Grade == trend.CannotSay {
			continue
		}
		t.count(model, j)
		t.areaLine = append(t.areaLine, math.Abs(line[i]))
		if all != nil {
			t.all = append(t.all, math.Abs(all[i]))
		}
		if oracle != nil {
			t.oracle = append(t.oracle, math.Abs(oracle[i]))
		}
		t.recorded = append(t.recorded, math.Abs(math.Log(j.Verdict.Paid)-m.Products[i].Recorded))
		t.rule = append(t.rule, math.Abs(math.Log(j.Verdict.Paid)-m.Products[i].Expected))
	}
	return t
}

func (t *priceTally) count(model *price.Model, j price.Judgement) {
	t.model = append(t.model, math.Abs(math.Log(j.Ratio)))
	t.area = append(t.area, math.Abs(math.Log(j.Price/model.ByAreaAlone(price.Product{Maker: j.Maker, Part: j.Part}))))
	if j.Price >= j.Low80 && j.Price <= j.High80 {
		t.in80++
	}
	if j.ByInside.Side() == 0 {
		t.in95++
	}
}

// plantedContents compares the estimated effects of contents on prices with those
// of the rule of the markets.
func plantedContents(stdout io.Writer, seed uint64) error {
	const markets, rows = 60, 400
	type contents struct{ power, premium, powerSE, premiumSE float64 }
	each, err := inOrder(markets, func(k int) (c contents, err error) {
		m, model, err := fittedMarket(sim.MarketOptions{Rows: rows, Overpriced: 0.05, Matter: true, Seed: seed<<32 + uint64(k)})
		if err != nil {
			return c, err
		}
		if c.power, c.premium, err = fittedContents(m, model.All()); err != nil {
			return c, err
		}
		c.powerSE, c.premiumSE, err = baseline.StandardErrors(m)
		return c, err
	})
	if err != nil {
		return err
	}
	fmt.Fprintf(stdout, "\nWhat contents do to prices, as told by the contributions, over %d markets of %d openings:\n\n", markets, rows)
	fmt.Fprintln(stdout, "| content | planted | mean | standard deviation over markets | standard error of least squares |")
	fmt.Fprintln(stdout, "| --- | --- | --- | --- | --- |")
	var powers, premiums, powerErrors, premiumErrors []float64
	for _, c := range each {
		powers, powerErrors = append(powers, c.power), append(powerErrors, c.powerSE)
		premiums, premiumErrors = append(premiums, c.premium), append(premiumErrors, c.premiumSE)
	}
	for _, line := range []struct {
		name    string
		planted float64
		got, se []float64
	}{
		{"power of can gauge", sim.GaugePower, powers, powerErrors},
		{"log price of wire-backed synthetic over cellulose", sim.Premiums[3] - sim.Premiums[0], premiums, premiumErrors},
	} {
		fmt.Fprintf(stdout, "| %s | %.2f | %.3f | %.3f | %.3f |\n", line.name, line.planted, num.Mean(line.got), num.SD(line.got), num.Mean(line.se))
	}
	return nil
}

// fittedContents computes from the contributions the exponent of the can gauge
// and the premium in log price of wire-backed synthetic over cellulose.
func fittedContents(m *sim.Market, judged []price.Judgement) (power, premium float64, err error) {
	gauges := map[price.Product]float64{}
	for _, p := range m.Products {
		gauges[price.Product{Maker: p.Maker, Part: p.Part}] = p.Numbers[2]
	}
	var x, y []float64
	factors := map[string][]float64{}
	for _, j := range judged {
		for _, c := range j.Contributions {
			switch c.Content {
			case "can_gauge":
				x = append(x, math.Log(gauges[price.Product{Maker: j.Maker, Part: j.Part}]))
				y = append(y, math.Log(c.Factor))
			case "media_type":
				factors[c.Value] = append(factors[c.Value], math.Log(c.Factor))
			}
		}
	}
	f, err := linear.LeastSquares(linear.Design{Columns: [][]float64{x}}, y)
	if err != nil {
		return 0, 0, err
	}
	return f.Coef[1], num.Mean(factors[sim.MediaTypes[3]]) - num.Mean(factors[sim.MediaTypes[0]]), nil
}

// priceLog judges a log for which no rule is known.
func priceLog(stdout io.Writer, path string) error {
	log, err := dataset.ReadFile(path, dataset.Options{})
	if err != nil {
		return err
	}
	model, err := price.Fit(log, price.Options{})
	if err != nil {
		return err
	}
	var t priceTally
	judged := model.All()
	for _, j := range judged {
		if j.Grade != trend.CannotSay {
			t.count(model, j)
		}
	}
	if len(t.model) == 0 {
		fmt.Fprintf(stdout, "\n%s: too few products with a price and a media area.\n", path)
		return nil
	}
	model80, model95 := float64(t.in80)/float64(len(t.model)), float64(t.in95)/float64(len(t.model))
	fmt.Fprintf(stdout, "\n%s, %d products: median absolute log error %.3f by contents, %.3f by area alone; in the 80 %% range %.3f, in the 95 %% range %.3f.\n",
		path, len(judged), num.Median(t.model), num.Median(t.area), model80, model95)
	return nil
}
