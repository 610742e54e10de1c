package render

import (
	"io"

	"pleatstat/dataset"
	"pleatstat/stats/trend"
)

type lineJSON struct {
	Intercept  num `json:"intercept"`
	Slope      num `json:"slope"`
	SlopeLow   num `json:"slope_low"`
	SlopeHigh  num `json:"slope_high"`
	Spread     num `json:"spread"`
	Confidence num `json:"confidence"`
}

type leastSquaresJSON struct {
	Intercept num `json:"intercept"`
	Slope     num `json:"slope"`
	SlopeLow  num `json:"slope_low"`
	SlopeHigh num `json:"slope_high"`
	Spread    num `json:"spread"`
	RSquared  num `json:"r_squared"`
}

type leftOutJSON struct {
	Reason string `json:"reason"`
	Rows   int    `json:"rows"`
}

type trendJSON struct {
	ID             string           `json:"id"`
	Response       string           `json:"response"`
	Predictor      string           `json:"predictor"`
	Scale          trend.Scale      `json:"scale"`
	N              int              `json:"n"`
	LeftOut        int              `json:"left_out"`
	Line           lineJSON         `json:"line"`
	LeastSquares   leastSquaresJSON `json:"least_squares"`
	Warnings       []string         `json:"warnings"`
	LeftOutReasons []leftOutJSON    `json:"left_out_reasons"`
	Per            string           `json:"per"`
	TooFew         bool             `json:"too_few"`
	Needed         *int             `json:"needed"`
	Robust         lineJSON         `json:"robust"`
	TheilSen       lineJSON         `json:"theil_sen"`
	BothErrors     lineJSON         `json:"both_errors"`
	ResampledLow   num              `json:"resampled_slope_low"`
	ResampledHigh  num              `json:"resampled_slope_high"`
	Points         []pointJSON      `json:"points,omitempty"`
}

type pointJSON struct {
	Maker       string `json:"maker"`
	Part        string `json:"part"`
	Lines       []int  `json:"lines"`
	N           int    `json:"n"`
	Predictor   num    `json:"predictor"`
	Response    num    `json:"response"`
	Expected    num    `json:"expected"`
	Low         num    `json:"low"`
	High        num    `json:"high"`
	Studentised num    `json:"studentised"`
	QHigh       num    `json:"q_high"`
	QLow        num    `json:"q_low"`
	QTwo        num    `json:"q_two"`
	Kept        bool   `json:"kept"`
}

type flagJSON struct {
	Kind     trend.FlagKind `json:"kind"`
	Grade    trend.Grade    `json:"grade"`
	Trend    string         `json:"trend"`
	Maker    string         `json:"maker"`
	Part     string         `json:"part"`
	Lines    []int          `json:"lines"`
	N        int            `json:"n"`
	Observed num            `json:"observed"`
	Expected num            `json:"expected"`
	Low      num            `json:"low"`
	High     num            `json:"high"`
	Ratio    num            `json:"ratio"`
	P        num            `json:"p"`
	Q        num            `json:"q"`
	QClear   num            `json:"q_clear"`
	Doubtful []doubtJSON    `json:"doubtful"`
	Implied  num            `json:"implied_gauge"`
	OfSize   bool           `json:"of_size"`
}

// doubtJSON is a doubtful reading behind a flag.
type doubtJSON struct {
	Line    int    `json:"line"`
	Name    string `json:"name"`
	Text    string `json:"text"`
	Message string `json:"message"`
}

func lineOf(l trend.Line) lineJSON {
	return lineJSON{num(l.Intercept), num(l.Slope), num(l.SlopeLow), num(l.SlopeHigh), num(l.Spread), num(l.Confidence)}
}

func leastSquaresOf(l trend.Line) leastSquaresJSON {
	return leastSquaresJSON{num(l.Intercept), num(l.Slope), num(l.SlopeLow), num(l.SlopeHigh), num(l.Spread), num(l.RSquared)}
}

func trendOf(t *trend.Trend, points bool) trendJSON {
	out := trendJSON{
		ID: t.ID, Response: t.Response, Predictor: t.Predictor, Scale: t.Scale, N: t.N,
		Line: lineOf(t.Line), LeastSquares: leastSquaresOf(t.LeastSquares),
		Warnings: list(t.Warnings), LeftOutReasons: []leftOutJSON{}, Per: per(t),
		TooFew: t.TooFew, Needed: countOrNull(t.Needed, t.TooFew),
		Robust: lineOf(t.Robust), TheilSen: lineOf(t.Theil), BothErrors: lineOf(t.BothErrors),
		ResampledLow: num(t.BootLow), ResampledHigh: num(t.BootHigh),
	}
	for _, l := range t.LeftOut {
		out.LeftOut += l.Rows
		out.LeftOutReasons = append(out.LeftOutReasons, leftOutJSON{l.Reason, l.Rows})
	}
	if points {
		for _, p := range t.Points {
			out.Points = append(out.Points, pointJSON{p.Maker, p.Part, list(p.Lines), p.N, num(p.X), num(p.Y),
				num(p.Expected), num(p.Low), num(p.High), num(p.Studentised), num(p.Above.Q), num(p.Below.Q), num(p.Either.Q), p.Kept})
		}
	}
	return out
}

func trendsOf(trends []*trend.Trend, points bool) []trendJSON {
	out := make([]trendJSON, 0, len(trends))
	for _, t := range trends {
		out = append(out, trendOf(t, points))
	}
	return out
}

func flagsOf(flags []trend.Flag) []flagJSON {
	out := make([]flagJSON, 0, len(flags))
	for _, f := range flags {
		doubts := make([]doubtJSON, 0, len(f.Doubtful))
		for _, d := range f.Doubtful {
			doubts = append(doubts, doubtJSON{d.Line, d.Name, d.Text, d.Message})
		}
		out = append(out, flagJSON{f.Kind, f.Grade, f.Trend, f.Maker, f.Part, list(f.Lines), f.N,
			num(f.Observed), num(f.Expected), num(f.Low), num(f.High), num(f.Ratio), num(f.P), num(f.Q), num(f.QClear), doubts, num(f.ImpliedGauge), f.OfSize()})
	}
	return out
}

// per says what one point of a trend stands for.
func per(t *trend.Trend) string {
	if t.PerOpening {
		return "opening"
	}
	return "product"
}

// TrendJSON writes one trend with its points and the flags measured from it, of
// prices each with the verdict on its part.
func TrendJSON(w io.Writer, log *dataset.Log, f FittedTrend) error {
	return writeJSON(w, struct {
		Schema   string        `json:"schema"`
		Log      readLogJSON   `json:"log"`
		Trends   []trendJSON   `json:"trends"`
		Flags    []flagJSON    `json:"flags"`
		Verdicts []verdictJSON `json:"verdicts"`
	}{"pleatstat/trend/1", readLogOf(log, f.Trend.Response, f.Trend.Predictor), trendsOf([]*trend.Trend{f.Trend}, true), flagsOf(f.Flags), verdictsOf(f.Verdicts)})
}
