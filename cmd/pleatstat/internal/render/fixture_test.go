package render_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/compare"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/report"
	"pleatstat/stats/trend"
)

// benchLog is a log in the units of the invented harbour workshop: inches for
// lengths, millimetres for gauges, grams, dollars.
const benchLog = `maker,part,price,media_length_in,element_width_in,can_gauge_mm,can_mass_g
Skerrow,SK-1,$8.99,43.2,1.62,0.44,61.5
`

func benchUnits(t *testing.T) dataset.Units {
	t.Helper()
	log, err := dataset.Read(strings.NewReader(benchLog), "bench.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return log.Units()
}

var nan = math.NaN()

func on(y int, m time.Month, d int) time.Time { return time.Date(y, m, d, 0, 0, 0, 0, time.UTC) }

// areaTrend returns a stored fit of price on media area.
func areaTrend() *trend.Trend {
	t := &trend.Trend{
		Definition: trend.Definition{ID: "price-media_area", Response: "price", Predictor: "media_area", Scale: trend.Log},
		N:          60, Per: trend.PerProduct, LeftOut: 31, LeftOutReasons: []trend.LeftOut{{Reason: "no media area", Rows: 23}, {Reason: "no price", Rows: 8}},
		Line:         trend.Line{Intercept: -2.9, Slope: 0.87, SlopeLow: 0.79, SlopeHigh: 0.95, Spread: 0.17, Confidence: 0.95, RSquared: 0.9},
		Robust:       trend.Line{Intercept: -2.9, Slope: 0.86, SlopeLow: 0.78, SlopeHigh: 0.94, Spread: 0.17, Confidence: 0.95, RSquared: nan},
		LeastSquares: trend.Line{Intercept: -3.1, Slope: 0.93, SlopeLow: 0.78, SlopeHigh: 1.08, Spread: 0.29, Confidence: 0.95, RSquared: 0.72},
		Theil:        trend.Line{Intercept: -2.9, Slope: 0.86, SlopeLow: 0.77, SlopeHigh: 0.96, Spread: nan, Confidence: 0.95, RSquared: nan},
		BothErrors:   noLine(), BootLow: nan, BootHigh: nan,
		Warnings: []string{"uneven spread: the scatter changes along the line (p = 0.004); ranges are too wide at one end and too narrow at the other"},
	}
	for i := range 58 {
		x := 180 + 9*float64(i)
		expected := math.Exp(-2.9 + 0.87*math.Log(x))
		t.Points = append(t.Points, trend.Point{Maker: "Lowmere", Part: "LM-" + string(rune('A'+i%26)), Lines: []int{i + 2}, N: 1,
			X: x, Y: expected * (1 + 0.1*float64(i%5-2)), Expected: expected, Low: expected * 0.7, High: expected * 1.4})
	}
	t.Points = append(t.Points,
		trend.Point{Maker: "Thornquay", Part: "TQ-88", Lines: []int{12, 45, 99, 130, 171}, N: 5, X: 394.8, Y: 19.9, Expected: 9.987, Low: 7.05, High: 14.15},
		trend.Point{Maker: "Wexcombe", Part: "WX-7", Lines: []int{31}, N: 1, X: 481.3, Y: 6.15, Expected: 11.87, Low: 8.37, High: 16.8})
	return t
}

// gaugeTrend returns a stored fit of can gauge on can mass, on the linear scale.
func gaugeTrend() *trend.Trend {
	t := &trend.Trend{
		Definition: trend.Definition{ID: "can_gauge-can_mass", Response: "can_gauge", Predictor: "can_mass", Scale: trend.Linear},
		N:          40, Per: trend.PerProduct, LeftOut: 90, LeftOutReasons: []trend.LeftOut{{Reason: "no can mass", Rows: 90}},
		Line:         trend.Line{Intercept: 0.18, Slope: 0.0036, SlopeLow: 0.0031, SlopeHigh: 0.0041, Spread: 0.021, Confidence: 0.95, RSquared: 0.83},
		Robust:       trend.Line{Intercept: 0.18, Slope: 0.0035, SlopeLow: 0.0030, SlopeHigh: 0.0040, Spread: 0.02, Confidence: 0.95, RSquared: nan},
		LeastSquares: trend.Line{Intercept: 0.19, Slope: 0.0034, SlopeLow: 0.0028, SlopeHigh: 0.0040, Spread: 0.026, Confidence: 0.95, RSquared: 0.77},
		Theil:        trend.Line{Intercept: 0.18, Slope: 0.0036, SlopeLow: 0.0030, SlopeHigh: 0.0042, Spread: nan, Confidence: 0.95, RSquared: nan},
		BothErrors:   noLine(), BootLow: nan, BootHigh: nan,
	}
	for i := range 40 {
		x := 45 + 2*float64(i)
		t.Points = append(t.Points, trend.Point{Maker: "Orrinvale", Part: "OR-" + string(rune('A'+i%26)), Lines: []int{i + 100}, N: 1,
			X: x, Y: 0.18 + 0.0036*x + 0.01*float64(i%5-2), Expected: 0.18 + 0.0036*x, Low: 0.14 + 0.0036*x, High: 0.22 + 0.0036*x})
	}
	p := &t.Points[20]
	p.Maker, p.Part, p.Y = "Brackhollow", "BH-21", 0.58
	return t
}

// fewTrend returns a stored trend with too little data.
func fewTrend() *trend.Trend {
	none := noLine()
	return &trend.Trend{
		Definition: trend.Definition{ID: "media_mass-media_area", Response: "media_mass", Predictor: "media_area", Scale: trend.Log},
		N:          5, Needed: 8, TooFew: true, Per: trend.PerProduct, LeftOut: 250, LeftOutReasons: []trend.LeftOut{{Reason: "no media mass", Rows: 250}},
		Line: none, Robust: none, LeastSquares: none, Theil: none, BothErrors: none, BootLow: nan, BootHigh: nan,
		Warnings: []string{"too few to say: a line needs at least 8 products with both measures; there are 5"},
	}
}

func storedFlags() []trend.Flag {
	return []trend.Flag{
		{Kind: trend.Overpriced, Grade: trend.Clear, Trend: "price-media_area", Maker: "Thornquay", Part: "TQ-88", Lines: []int{12, 45, 99, 130, 171},
			N: 5, Observed: 19.9, Expected: 9.987, Low: 7.05, High: 14.15, Ratio: 19.9 / 9.987, Predictor: 394.8, Tail: trend.Tail{P: 2e-6, Q: 1.2e-4, QClear: 0.013}},
		{Kind: trend.Bargain, Grade: trend.Hint, Trend: "price-media_area", Maker: "Wexcombe", Part: "WX-7", Lines: []int{31},
			N: 1, Observed: 6.15, Expected: 11.87, Low: 8.37, High: 16.8, Ratio: 6.15 / 11.87, Predictor: 481.3, Tail: trend.Tail{P: 0.004, Q: 0.12, QClear: 0.19}},
		{Kind: trend.OffTrend, Grade: trend.Hint, Trend: "can_gauge-can_mass", Maker: "Brackhollow", Part: "BH-21", Lines: []int{120},
			N: 1, Observed: 0.58, Expected: 0.486, Low: 0.446, High: 0.526, Ratio: 0.58 / 0.486, Predictor: 85, Tail: trend.Tail{P: 0.001, Q: 0.04, QClear: 0.04},
			Doubtful: []dataset.Problem{{Line: 120, Name: "can_gauge", Text: "0.58", Message: "0.50 fits", Severity: dataset.Doubtful}}},
	}
}

func storedDrift() []drift.Entry {
	steady := drift.Entry{Maker: "Skerrow", Measure: "can_gauge", Unit: "mm", N: 33, Blocks: 6, PerYear: 0.0004, Low: -0.0016, High: 0.0024,
		P: 0.68, Q: 0.9, SlopeP: 0.612, WitnessP: 0.7, WitnessSlope: 0.0002, Verdict: drift.Steady, Detectable: 0.0131, MoreOpenings: 12,
		Step: nan, StepLow: nan, StepHigh: nan, ChangePerYear: nan, ChangePerYearLow: nan, ChangePerYearHigh: nan, SinglesSlope: nan, SinglesLow: nan, SinglesHigh: nan,
		CombinedPerYear: nan, CombinedLow: nan, CombinedHigh: nan}
	thinner := steady
	thinner.Maker, thinner.N, thinner.Blocks = "Veldmarsh", 31, 5
	thinner.PerYear, thinner.Low, thinner.High, thinner.P, thinner.Q = -0.0102, -0.0128, -0.0075, 1e-6, 2e-5
	thinner.SlopeP = 9e-7
	thinner.WitnessP, thinner.WitnessSlope, thinner.Verdict = 0.0004, -0.0098, drift.Falling
	thinner.ChangeFrom, thinner.ChangeEarly, thinner.ChangeLate = on(2022, time.May, 14), on(2021, time.November, 2), on(2022, time.December, 20)
	thinner.Step, thinner.StepLow, thinner.StepHigh = -0.034, -0.041, -0.026
	thinner.Statement = drift.Statement{Shape: drift.AsStep, By: -0.034, Low: -0.041, High: -0.026, From: thinner.ChangeFrom, Early: thinner.ChangeEarly, Late: thinner.ChangeLate,
		Example: "VM-2", Then: drift.Reading{When: on(2020, time.July, 1), Value: 0.44, N: 2, Lines: []int{12, 31}}, Now: drift.Reading{When: on(2024, time.July, 1), Value: 0.41, N: 1, Lines: []int{88}}}
	thinner.AlarmFrom = on(2023, time.January, 1)
	thinner.SinglesN, thinner.SinglesSlope, thinner.SinglesLow, thinner.SinglesHigh = 7, -0.006, -0.019, 0.007
	thinner.CombinedPerYear, thinner.CombinedLow, thinner.CombinedHigh = -0.0101, -0.0127, -0.0075
	few := steady
	few.Maker, few.N, few.Blocks, few.Needed, few.Verdict = "Lowmere", 3, 1, 6, drift.TooFew
	few.PerYear, few.Low, few.High, few.P, few.Q, few.WitnessP, few.WitnessSlope, few.Detectable = nan, nan, nan, nan, nan, nan, nan, nan
	few.MoreOpenings, few.SlopeP = -1, nan
	dearer := steady
	dearer.Maker, dearer.Measure, dearer.Unit, dearer.Relative = "Pellbrook", "price", "%", true
	dearer.PerYear, dearer.Low, dearer.High, dearer.P, dearer.Q, dearer.Verdict, dearer.Detectable = 0.041, 0.022, 0.060, 0.0004, 0.003, drift.Rising, 0.03
	dearer.SlopeP = dearer.P
	dearer.Statement = drift.Statement{Shape: drift.AsSlope, By: dearer.PerYear, Low: dearer.Low, High: dearer.High}
	return []drift.Entry{steady, thinner, few, dearer}
}

func storedJudgement() price.Judgement {
	return price.Judgement{
		Verdict: price.Verdict{Maker: "Thornquay", Part: "TQ-88", Grade: trend.Clear, Direction: price.Above, Price: 19.9, PriceDate: "2025-11-02", Paid: 19.7,
			MoneyOf: "2026-03", Fair: 10.4, Low: 7.8, High: 13.9, Ratio: 19.9 / 10.4, MoneyAbove: 9.5, N: 5, Lines: []int{12, 45, 99, 130, 171},
			ByArea:   trend.Evidence{Value: 19.9, Expected: 9.987, Low: 7.05, High: 14.15, Tail: trend.Tail{P: 2e-6, Q: 1.2e-4, PClear: 3e-4, QClear: 0.013}},
			ByInside: trend.Evidence{Value: 19.9, Expected: 10.4, Low: 7.8, High: 13.9, Tail: trend.Tail{P: 9e-4, Q: 0.02, PClear: 1e-3, QClear: 0.03}}},
		Low80: 8.7, High80: 12.5, UsualLow: 9.8, UsualHigh: 11.1, ShareBelow: 0.9991, Rank: 1, Of: 60, Base: 9.1,
		Contributions: []price.Contribution{{Content: "media_area", Value: "394.8", Factor: 1.08}, {Content: "drain_back", Value: "silicone", Factor: 1.058}, {Content: "magnet", Value: "not recorded", Factor: 1}},
		Comparables:   []price.Comparable{{Maker: "Skerrow", Part: "SK-12", Price: 9.8, MediaArea: 401}, {Maker: "Pellbrook", Part: "PB-3", Price: 10.9, MediaArea: 388}},
	}
}

// apartJudgement returns a verdict by contents with which the verdict by area disagrees.
func apartJudgement() price.Judgement {
	j := storedJudgement()
	j.Maker, j.Part, j.N, j.Rank, j.Grade, j.Direction = "Wexcombe", "WX-7", 1, 52, trend.AsExpected, price.Below
	j.Price, j.Paid, j.Fair, j.Low80, j.High80, j.Low, j.High = 6.15, 6.15, 7.3, 6, 8.9, 5.4, 9.9
	j.UsualLow, j.UsualHigh, j.Lines, j.PriceDate = 6.8, 7.9, []int{31}, "2026-03"
	j.Ratio, j.MoneyAbove, j.ShareBelow = 6.15/7.3, 6.15-7.3, 0.13
	j.ByArea = trend.Evidence{Value: 6.15, Expected: 11.87, Low: 8.37, High: 16.8, Tail: trend.Tail{P: 0.004, Q: 0.12, PClear: 0.01, QClear: 0.19}}
	j.ByInside = trend.Evidence{Value: 6.15, Expected: 7.3, Low: 5.4, High: 9.9, Tail: trend.Tail{P: 0.13, Q: 0.6, PClear: 0.13, QClear: 0.6}}
	j.Why = "cheap for its media area; its cellulose media and thin can explain that"
	j.Contributions = []price.Contribution{{Content: "media_area", Value: "481.3", Factor: 1.1}, {Content: "media_type", Value: "cellulose", Factor: 0.85},
		{Content: "can_gauge", Value: "0.33", Factor: 0.93}, {Content: "magnet", Value: "no", Factor: 0.999}}
	j.Warnings = append([]string{"5 of 8 contents are not recorded, so what is usual is known less exactly"}, aboutAllPrices...)
	return j
}

// aboutAllPrices are the warnings of a price model.
var aboutAllPrices = []string{"contents left out of the usual price because fewer than 8 products have them: beta ratio (3)"}

func storedComparison() *compare.Comparison {
	measure := func(column string, a, b, limit float64, beyond bool, most int) compare.Measure {
		basis, scatter := compare.ByOpenings, limit/2
		if math.IsNaN(limit) {
			basis, scatter = compare.ByStep, nan
		}
		return compare.Measure{Column: column, Group: compare.GroupOf(column), Basis: basis, Scatter: scatter, Pairs: 31, Values: []compare.Value{{Mean: a, N: 3, SE: limit / 3}, {Mean: b, N: 2, SE: limit / 3}},
			Differences: []compare.Difference{{By: b - a, Ratio: b / a, Limit: limit, Beyond: beyond, BenchLimit: limit / 2, BeyondBench: beyond, P: 0.001, Q: 0.002}}, Most: most}
	}
	pleats := drift.Entry{Maker: "Thornquay", Measure: "pleats", Verdict: drift.Rising, Statement: drift.Statement{Shape: drift.AsStep, By: 5, From: time.Date(2023, time.April, 2, 0, 0, 0, 0, time.UTC)}}
	return &compare.Comparison{
		Kind: compare.OfParts, MoneyOf: 2026.2,
		Changes:  []compare.Change{{Place: 1, Measure: "pleats", Verdict: pleats.Verdict, Shape: pleats.Statement.Shape, From: pleats.Statement.From, Of: pleats, Then: 63, Now: 68, NThen: 1, NNow: 1}},
		Doubted:  []compare.Doubt{{Place: 0, Column: "can_gauge", Line: 40, Value: 4.1}},
		Products: []compare.Product{{Maker: "Skerrow", Part: "SK-1", Parts: 1, Openings: 3, Lines: []int{2, 9, 40}}, {Maker: "Thornquay", Part: "TQ-88", Parts: 1, Openings: 2, Lines: []int{12, 45}}},
		Measures: []compare.Measure{
			measure("price", 8.99, 19.9, 0, true, 1), measure("can_gauge", 0.405, 0.408, 0.01, false, -1),
			measure("can_mass", 55, 63.2, 0.1, true, 1), measure("pleats", 51, 68, 0.5, true, 1), measure("grammage", 214, 189, nan, false, -1),
		},
		Words:         []compare.Words{{Column: "drain_back", Group: compare.OfValves, Values: [][]string{{"nitrile"}, {"silicone"}}, Differs: true}, {Column: "magnet", Group: compare.OfValves, Values: [][]string{{"no"}, {"no"}}}},
		Only:          []compare.Only{{Column: "spring_mass", Place: 0, Value: 5.1, N: 1}, {Column: "thread", Place: 1, Value: nan, Words: []string{"M18x1.5"}}},
		PriceWarnings: aboutAllPrices,
		Prices:        []price.Judgement{apartJudgement(), notPriced()},
		Warnings:      []string{"no cell with several readings"},
	}
}

// notPriced returns the verdict on a product without a price.
func notPriced() price.Judgement {
	none := trend.Evidence{Value: nan, Expected: nan, Low: nan, High: nan, Tail: trend.NoTail()}
	why := "not judged: no price is recorded"
	return price.Judgement{Verdict: price.Verdict{Maker: "x", Grade: trend.CannotSay, Price: nan, Paid: nan, Fair: nan, Low: nan, High: nan, Ratio: nan,
		MoneyAbove: nan, Why: why, ByArea: none, ByInside: none}, Warnings: []string{why}}
}

func storedFindings(t *testing.T) *report.Findings {
	flags := storedFlags()
	hint := storedJudgement()
	hint.Maker, hint.Part, hint.Grade, hint.ByArea.High = "Lowmere", "LM-C", trend.Hint, 21
	hint.Why = "as expected for its media area; parts with cellulose media usually cost less"
	return &report.Findings{
		Log: report.Summary{File: "harbour.csv", Rows: 262, Used: 251, Makers: 8, Parts: 60, FirstOpened: "2019-01-12", LastOpened: "2026-03", Units: "mixed",
			Columns: storedColumns()},
		Units: benchUnits(t),
		Problems: []dataset.Problem{
			{File: "harbour.csv", Line: 41, Column: 9, Name: "can_gauge", Text: "4.1", Message: "ten times too thick for a can of this mass; 0.41 mm fits", Severity: dataset.Doubtful},
			{File: "harbour.csv", Line: 77, Column: 4, Name: "price", Text: "n.n.", Message: "not a price; write a number such as 8.99", Severity: dataset.Unusable},
			{File: "harbour.csv", Line: 90, Column: 2, Name: "maker", Text: "Skerow", Message: "spelt Skerrow elsewhere", Severity: dataset.Note},
		},
		SetAside: []dataset.CellRef{{Row: 39, Column: "can_gauge"}},
		Trends:   []*trend.Trend{areaTrend(), gaugeTrend(), fewTrend()},
		Flags:    flags,
		Verdicts: []price.Verdict{storedJudgement().Verdict, hint.Verdict, apartJudgement().Verdict, notPriced().Verdict},
		MoneyOf:  2026.2, Usable: 60,
		Rise: price.Rise{PerYear: 0.041, Low: 0.032, High: 0.05, From: 2019.04, To: 2026.2, N: 60}, RiseKnown: true,
		Foreign:       []dataset.Foreign{{Currency: "EUR", Rows: 3}},
		PriceWarnings: aboutAllPrices,
		Drift:         storedDrift(),
		Warnings:      []string{"1 reading is physically impossible and was left out of every fit"},
	}
}

func noLine() trend.Line {
	return trend.Line{Intercept: nan, Slope: nan, SlopeLow: nan, SlopeHigh: nan, Spread: nan, Confidence: 0.95, RSquared: nan}
}

// storedColumns returns headers of every kind: plain, with another name, decided by
// their numbers, unknown, undecided.
func storedColumns() dataset.ColumnsRead {
	return dataset.ColumnsRead{
		Read: []dataset.ReadColumn{{Column: "opened", Header: "opened"}, {Column: "maker", Header: "Maker"}, {Column: "part", Header: "model no"},
			{Column: "can_gauge", Header: "can_gauge_mm", Unit: "mm"}, {Column: "price", Header: "cost each", Unit: "$"},
			{Column: "element_width", Header: "width", Unit: "in", Why: "its middle value, 2.25, lies where those do"}},
		NotUsed: []dataset.UnusedColumn{{Column: "where bought", Header: "where bought"},
			{Column: "L", Header: "L", MayBe: []string{"can_height", "element_width"}, Why: "may be can_height or element_width"}},
	}
}
