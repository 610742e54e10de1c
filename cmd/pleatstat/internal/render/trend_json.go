package render

import (
	"io"

	"pleatstat/dataset"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

type trendJSON struct {
	*trend.Trend
	Points []pointJSON `json:"points,omitempty"`
}

// pointJSON is a point with the q of each of its tails, which has no more to say.
type pointJSON struct {
	trend.Point
	QHigh float64 `json:"q_high"`
	QLow  float64 `json:"q_low"`
	QTwo  float64 `json:"q_two"`
	Kept  bool    `json:"kept"`
}

// TrendJSON writes one trend with its points and the flags measured from it, of
// prices each with the verdict on its part.
func TrendJSON(w io.Writer, log *dataset.Log, f FittedTrend) error {
	t := f.Trend
	points := make([]pointJSON, len(t.Points))
	for i, p := range t.Points {
		points[i] = pointJSON{p, p.Above.Q, p.Below.Q, p.Either.Q, p.Kept}
	}
	return writeJSON(w, struct {
		Schema   string          `json:"schema"`
		Log      readLogJSON     `json:"log"`
		Trends   []trendJSON     `json:"trends"`
		Flags    []trend.Flag    `json:"flags"`
		Verdicts []price.Verdict `json:"verdicts"`
	}{"pleatstat/trend/1", readLogOf(log, t.Response, t.Predictor), []trendJSON{{t, points}}, f.Flags, f.Verdicts})
}
