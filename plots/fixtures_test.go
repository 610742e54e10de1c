package plots

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"time"

	"pleatstat/dataset"
	"pleatstat/plots/words"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// makers returns the makers of the invented harbour workshop's log.
func makers() []string {
	return []string{"Skerrow", "Thornquay", "Veldmarsh", "Pellbrook", "Orrinvale", "Lowmere", "Brackhollow", "Wexcombe"}
}

// benchUnits are the units of the invented log: inches for what is measured with a
// tape, millimetres for what is measured with a micrometer.
type benchUnits struct{}

func (benchUnits) Of(column string) dataset.Unit {
	switch column {
	case "media_area":
		return dataset.Unit{Symbol: "in²", PerBase: 1 / 6.4516, Decimals: 1}
	case "price":
		return dataset.Unit{Symbol: "$", PerBase: 1, Decimals: 2}
	case "element_width":
		return dataset.Unit{Symbol: "in", PerBase: 1 / 25.4, Decimals: 2}
	case "can_gauge":
		return dataset.Unit{Symbol: "mm", PerBase: 1, Decimals: 2}
	case "can_mass":
		return dataset.Unit{Symbol: "g", PerBase: 1, Decimals: 1}
	}
	return dataset.Unit{PerBase: 1}
}

func (u benchUnits) Format(column string, base float64) string {
	unit := u.Of(column)
	s := strconv.FormatFloat(base*unit.PerBase, 'f', unit.Decimals, 64)
	if unit.Symbol == "$" {
		return "$" + s
	}
	return words.WithUnit(s, unit.Symbol)
}

func harbourSource() Source {
	return Source{File: "harbour.csv", Openings: 262, From: 2019, To: 2026, Units: benchUnits{}}
}

func part(rng *rand.Rand) string {
	return fmt.Sprintf("%c%c-%d", 'A'+rng.IntN(26), 'A'+rng.IntN(26), 100+rng.IntN(900))
}

// madeTrend describes a trend to simulate: y = exp(a) x^b on a logarithmic scale,
// y = a + b x on a linear one.
type madeTrend struct {
	def             trend.Definition
	a, b, spread    float64
	xLow, xHigh     float64
	n               int
	factors         map[int]float64 // planted deviations: index of a point -> factor, or difference on a linear scale
	kind, kindBelow trend.FlagKind
	seed            uint64
}

// make returns a trend and its flags as the analysis would, with the true line as
// the fitted one.
func (m madeTrend) make() (*trend.Trend, []trend.Flag) {
	rng := rand.New(rand.NewPCG(m.seed, 7))
	isLog := m.def.Scale == trend.Log
	at := func(x, shift float64) float64 {
		if isLog {
			return math.Exp(m.a + m.b*math.Log(x) + shift)
		}
		return m.a + m.b*x + shift
	}
	t := &trend.Trend{Definition: m.def, N: m.n}
	t.Line = trend.Line{Intercept: m.a, Slope: m.b, Spread: m.spread, Confidence: 0.95,
		SlopeLow: m.b - 0.1*math.Abs(m.b), SlopeHigh: m.b + 0.1*math.Abs(m.b)}
	half := 2 * m.spread
	var flags []trend.Flag
	names := makers()
	for i := range m.n {
		x := m.xLow + (m.xHigh-m.xLow)*math.Pow(rng.Float64(), 1.4)
		if isLog {
			x = m.xLow * math.Pow(m.xHigh/m.xLow, (rng.Float64()+rng.Float64())/2)
		}
		shift := max(-1.9, min(1.9, rng.NormFloat64())) * m.spread
		if f, ok := m.factors[i]; ok {
			if shift = math.Log(f); !isLog {
				shift = f
			}
		}
		p := trend.Point{Maker: names[rng.IntN(len(names))], Part: part(rng), Lines: []int{i + 2}, N: 1 + rng.IntN(6),
			X: x, Y: at(x, shift), Expected: at(x, 0), Low: at(x, -half), High: at(x, half),
			Residual: shift, Studentised: shift / m.spread, Kept: true}
		t.Points = append(t.Points, p)
		if p.Y > p.High || p.Y < p.Low {
			f := trend.Flag{Kind: m.kind, Grade: trend.Hint, Trend: m.def.ID, Maker: p.Maker, Part: p.Part,
				Lines: p.Lines, N: p.N, Observed: p.Y, Expected: p.Expected, Low: p.Low, High: p.High, Ratio: p.Y / p.Expected}
			if p.Y < p.Low {
				f.Kind = m.kindBelow
			}
			if math.Abs(p.Studentised) > 2.6 {
				f.Grade = trend.Clear
			}
			flags = append(flags, f)
		}
	}
	for i := range 61 {
		x := m.xLow + (m.xHigh-m.xLow)*float64(i)/60
		if isLog {
			x = m.xLow * math.Pow(m.xHigh/m.xLow, float64(i)/60)
		}
		t.Band = append(t.Band, trend.BandPoint{X: x, Fit: at(x, 0), Low: at(x, -half), High: at(x, half)})
	}
	return t, flags
}

func priceTrend(n int) (*trend.Trend, []trend.Flag) {
	return madeTrend{def: trend.Definition{ID: "price-media_area", Response: "price", Predictor: "media_area", Scale: trend.Log},
		a: -3.1, b: 0.85, spread: 0.2, xLow: 180, xHigh: 900, n: n, seed: 3,
		factors: map[int]float64{4: 2.1, 11: 1.85, 17: 1.8, 23: 0.45, 30: 1.55, 37: 0.64},
		kind:    trend.Overpriced, kindBelow: trend.Bargain}.make()
}

func gaugeTrend(n int) (*trend.Trend, []trend.Flag) {
	return madeTrend{def: trend.Definition{ID: "can_gauge-can_mass", Response: "can_gauge", Predictor: "can_mass", Scale: trend.Log},
		a: -3.4, b: 0.6, spread: 0.05, xLow: 45, xHigh: 160, n: n, seed: 5,
		kind: trend.OffTrend, kindBelow: trend.OffTrend}.make()
}

func pleatTrend(n int) (*trend.Trend, []trend.Flag) {
	return madeTrend{def: trend.Definition{ID: "pleats-element_width", Response: "pleats", Predictor: "element_width", Scale: trend.Linear},
		a: 95, b: -0.9, spread: 4, xLow: 30, xHigh: 60, n: n, seed: 9,
		factors: map[int]float64{3: -22, 8: 17}, kind: trend.OffTrend, kindBelow: trend.OffTrend}.make()
}

// gaugeDrift returns a drift result of one maker with the given verdict.
func gaugeDrift(maker string, perYear, step float64, v drift.Verdict, parts, each int, seed uint64) drift.Entry {
	rng := rand.New(rand.NewPCG(seed, 11))
	nan := math.NaN()
	e := drift.Entry{Maker: maker, Measure: "can_gauge", Unit: "mm", Verdict: v, N: parts * each, Blocks: parts,
		PerYear: perYear, Low: perYear - 0.003, High: perYear + 0.003, P: 0.5, Q: 0.6, Step: nan, StepLow: nan, StepHigh: nan,
		Detectable: 0.004, SinglesSlope: nan, SinglesLow: nan, SinglesHigh: nan}
	if step != 0 {
		e.ChangeFrom = time.Date(2023, 3, 1, 0, 0, 0, 0, time.UTC)
		e.ChangeEarly, e.ChangeLate = e.ChangeFrom.AddDate(0, -4, 0), e.ChangeFrom.AddDate(0, 5, 0)
		e.Step, e.StepLow, e.StepHigh = step, step-0.008, step+0.008
	}
	if v == drift.Falling || v == drift.Rising {
		e.P, e.Q = 0.0004, 0.004
	}
	for i := range parts {
		base := 0.36 + 0.05*float64(i)
		name := part(rng)
		var sum float64
		start := len(e.Points)
		for range each {
			year := 2019.1 + 7.4*rng.Float64()
			value := base + perYear*(year-2022.5)*b2f(step == 0) + step*b2f(year >= 2023.16) + 0.006*rng.NormFloat64()
			value = math.Round(value*100) / 100
			sum += value
			whole, frac := math.Modf(year)
			e.Points = append(e.Points, drift.Observation{Year: year, Part: name, Value: value,
				When: time.Date(int(whole), 1, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(frac*365))})
		}
		for k := start; k < len(e.Points); k++ {
			e.Points[k].Deviation = e.Points[k].Value - sum/float64(each)
		}
	}
	return e
}

func b2f(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// judgements returns price verdicts on n products.
func judgements(n int) []price.Judgement {
	rng := rand.New(rand.NewPCG(12, 1))
	names := makers()
	var js []price.Judgement
	for i := range n {
		fair := 4 * math.Exp(0.35*rng.NormFloat64()+0.5)
		ratio := math.Exp(0.16 * rng.NormFloat64())
		switch i {
		case 2:
			ratio = 2.1
		case 5:
			ratio = 1.75
		case 7:
			ratio = 0.52
		}
		j := price.Judgement{Verdict: price.Verdict{Maker: names[rng.IntN(len(names))], Part: part(rng), N: 1 + rng.IntN(5),
			Grade: trend.AsExpected, Direction: price.Above, Price: fair * ratio, Fair: fair, Low: fair / 1.45, High: fair * 1.45,
			Ratio: ratio, MoneyAbove: fair * (ratio - 1)},
			Low80: fair / 1.25, High80: fair * 1.25, Base: 6.1}
		if ratio < 1 {
			j.Direction = price.Below
		}
		switch {
		case ratio > 1.9:
			j.Grade = trend.Clear
		case ratio > 1.5, ratio < 1/1.5:
			j.Grade = trend.Probable
		case ratio > 1.45, ratio < 1/1.45:
			j.Grade = trend.Hint
		}
		j.Contributions = []price.Contribution{
			{Content: "media_area", Value: "520.4", Factor: 1.22}, {Content: "media_type", Value: "synthetic", Factor: 1.18},
			{Content: "can_gauge", Value: "0.41", Factor: 0.93}, {Content: "drain_back", Value: "nitrile", Factor: 0.96},
			{Content: "magnet", Value: "not recorded", Factor: 1}, {Content: "total_mass", Value: "312.5", Factor: 1.04}}
		product := j.Base
		for _, c := range j.Contributions {
			product *= c.Factor
		}
		j.Contributions[0].Factor *= j.Fair / product
		js = append(js, j)
	}
	return js
}

func comparison(parts, rows int) CompareTable {
	t := CompareTable{Parts: []string{"Skerrow CR-939", "Veldmarsh TT-120", "Pellbrook FK-113", "Orrinvale LL-402", "Lowmere IH-561"}[:parts]}
	measures := []CompareRow{
		{Name: "price", Group: "price", Values: []float64{8.99, 6.49, 14.5, 7.25, 3.99}, Text: []string{"$8.99", "$6.49", "$14.50", "$7.25", "$3.99"}, Beyond: true},
		{Name: "media area", Group: "media", Values: []float64{55.1, 74.6, 61.2, 50, 58.8}, Text: []string{"55.1 in²", "74.6 in²", "61.2 in²", "50.0 in²", "58.8 in²"}, Beyond: true},
		{Name: "pleat count", Group: "media", Values: []float64{51, 68, 60, 48, 55}, Text: []string{"51", "68", "60", "48", "55"}, Beyond: true},
		{Name: "can gauge", Group: "can", Values: []float64{0.41, 0.40, 0.41, 0.41, math.NaN()}, Text: []string{"0.41 mm", "0.40 mm", "0.41 mm", "0.41 mm", ""}},
		{Name: "can mass", Group: "can", Values: []float64{82.7, 84.1, 83, 90.2, 81}, Text: []string{"82.7 g", "84.1 g", "83.0 g", "90.2 g", "81.0 g"}, Beyond: true},
		{Name: "media mass", Group: "media", Values: []float64{7.6, 9.1, 8, 7.4, 7.7}, Text: []string{"7.6 g", "9.1 g", "8.0 g", "7.4 g", "7.7 g"}},
		{Name: "claimed efficiency at particle size", Group: "media", Values: []float64{99, 95, 99, 96, 95}, Text: []string{"99 %", "95 %", "99 %", "96 %", "95 %"}},
	}
	for i := range rows {
		r := measures[i%len(measures)]
		if i >= len(measures) {
			r.Name = fmt.Sprintf("%s %d", r.Name, i)
		}
		r.Values, r.Text = r.Values[:parts], r.Text[:parts]
		t.Rows = append(t.Rows, r)
	}
	return t
}
