package main

import (
	"flag"
	"fmt"
	"io"
	"math"
	"math/rand/v2"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// verdictCell is one kind of simulated log: products with contents, bought over seven
// years of rising prices.
type verdictCell struct {
	shape      sim.Shape
	rows       int
	matter     bool    // can gauge and media type affect prices
	overpriced float64 // share of products at 1.8 to 2.6 times their price by the rule
	blanks     float64 // share of blank cells of contents other than the media area
}

// verdictTally is the result of one log, or of many: rates are means over the
// logs, everything else is a sum. Pairs are for clear verdicts, and for clear or
// probable ones.
type verdictTally struct {
	parts, planted         float64    // judged products that are honest; that are overpriced
	falseShare, anyFalse   [2]float64 // share of false verdicts "above"; rate of logs with one
	found                  [2]float64 // overpriced products found
	hinted, below, outside float64    // honest products with a hint above; clear or probable below; outside their range
}

// runVerdicts measures the error rates and power of the verdict on the last price
// paid that all commands report, which combines the judgement by media area with
// that by everything inside.
func runVerdicts(args []string, stdout io.Writer) error {
	flags := flag.NewFlagSet("verdicts", flag.ContinueOnError)
	flags.SetOutput(stdout)
	runs := flags.Int("runs", 100, "simulated logs for each line of the table")
	seed := flags.Uint64("seed", 1, "seed of the logs")
	sizes := flags.String("rows", "60,120,300", "openings of the logs")
	page := pageFlag(flags)
	if err := flags.Parse(args); err != nil {
		return err
	}
	rows, err := numbersOf(*sizes)
	if err != nil || *runs < 1 {
		return fmt.Errorf("want -rows with numbers of openings, such as 60,120, and -runs of 1 or more")
	}
	return page.write("verdicts", args, *seed, stdout, func(w io.Writer) error {
		fmt.Fprintf(w, "%d logs a line; two simulation errors of a rate of 0.05: %.3f. Products are opened once each, one in ten again. Clear is told first, clear or probable second.\n\n", *runs, 2*math.Sqrt(0.05*0.95/float64(*runs)))
		fmt.Fprintln(w, "| market | openings | contents matter | blanks | overpriced | false discovery rate | logs with a false one | power | honest: a hint above | below, clear or probable | outside their range |")
		fmt.Fprintln(w, "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
		for _, c := range verdictCells(rows) {
			t, err := c.simulate(*runs, *seed)
			if err != nil {
				return err
			}
			fmt.Fprintln(w, c.line(t))
		}
		return nil
	})
}

func verdictCells(rows []int) (out []verdictCell) {
	for _, n := range rows {
		for _, k := range []sim.Shape{sim.NormalPrices, sim.TailedPrices, sim.SkewedUp, sim.SkewedDown, sim.GammaUp} {
			for _, matter := range []bool{false, true} {
				for _, overpriced := range []float64{0, 0.08} {
					out = append(out, verdictCell{shape: k, rows: n, matter: matter, overpriced: overpriced})
				}
			}
		}
		for _, overpriced := range []float64{0, 0.08} {
			out = append(out, verdictCell{shape: sim.NormalPrices, rows: n, matter: true, overpriced: overpriced, blanks: sim.BlankShare})
		}
	}
	return out
}

func (c verdictCell) simulate(runs int, seed uint64) (verdictTally, error) {
	each, err := inParallel(runs, seed, c.once)
	if err != nil {
		return verdictTally{}, err
	}
	var sum verdictTally
	for _, t := range each {
		sum.parts += t.parts
		sum.planted += t.planted
		sum.hinted += t.hinted
		sum.below += t.below
		sum.outside += t.outside
		for k := range t.found {
			sum.found[k] += t.found[k]
			sum.falseShare[k] += t.falseShare[k] / float64(runs)
			sum.anyFalse[k] += t.anyFalse[k] / float64(runs)
		}
	}
	return sum, nil
}

// once simulates one log, judges it and compares the verdicts with the truth.
func (c verdictCell) once(rng *rand.Rand) (t verdictTally, err error) {
	m, model, err := fittedMarket(sim.MarketOptions{Rows: c.rows, Blanks: c.blanks, Overpriced: c.overpriced, Matter: c.matter,
		Reopened: 0.1, Seed: rng.Uint64(), Shape: c.shape})
	if err != nil {
		return t, err
	}
	clean := map[price.Product]bool{}
	for _, p := range m.Products {
		clean[price.Product{Maker: p.Maker, Part: p.Part}] = p.Clean
	}
	var called, wrong [2]float64
	for _, v := range model.Verdicts() {
		if v.Grade == trend.CannotSay {
			continue
		}
		honest, above := clean[price.Product{Maker: v.Maker, Part: v.Part}], v.Direction == price.Above
		grades := [2]bool{v.Grade == trend.Clear, v.Grade == trend.Clear || v.Grade == trend.Probable}
		if honest {
			t.parts++
			t.outside += number(v.ByInside.Side() != 0)
			t.hinted += number(above && v.Grade == trend.Hint)
			t.below += number(!above && grades[1])
		} else {
			t.planted++
		}
		for k, so := range grades {
			if !so || !above {
				continue
			}
			called[k]++
			if honest {
				wrong[k]++
			} else {
				t.found[k]++
			}
		}
	}
	for k := range called {
		if wrong[k] > 0 {
			t.falseShare[k], t.anyFalse[k] = wrong[k]/called[k], 1
		}
	}
	return t, nil
}

func number(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

func (c verdictCell) line(t verdictTally) string {
	planted, power := "none", ""
	if c.overpriced > 0 {
		planted = fmt.Sprintf("%.0f %%", 100*c.overpriced)
		power = fmt.Sprintf("%.2f, %.2f", t.found[0]/t.planted, t.found[1]/t.planted)
	}
	return fmt.Sprintf("| %s | %d | %s | %.0f %% | %s | %.3f, %.3f | %.3f, %.3f | %s | %.4f | %.4f | %.3f |",
		c.shape, c.rows, yesNo(c.matter), 100*c.blanks, planted, t.falseShare[0], t.falseShare[1], t.anyFalse[0], t.anyFalse[1],
		power, t.hinted/t.parts, t.below/t.parts, t.outside/t.parts)
}
