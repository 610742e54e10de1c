package trends

import (
	"io"

	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/dataset"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

type trendJSON struct {
	*trend.Trend
	Points []pointJSON `json:"points,omitempty"`
}

// pointJSON is a point with only the q value of each of its tails.
type pointJSON struct {
	trend.Point
	QHigh float64 `json:"q_high"`
	QLow  float64 `json:"q_low"`
	QTwo  float64 `json:"q_two"`
	Kept  bool    `json:"kept"`
}

// JSON writes one trend with its points and the flags on it; for a trend of prices also
// the verdict on the part of each flag.
func JSON(w io.Writer, log *dataset.Log, f Fitted) error {
	t := f.Trend
	points := make([]pointJSON, len(t.Points))
	for i, p := range t.Points {
		points[i] = pointJSON{p, p.Above.Q, p.Below.Q, p.Either.Q, p.Kept}
	}
	return encode.JSON(w, struct {
		Schema   string          `json:"schema"`
		Log      encode.Log      `json:"log"`
		Trends   []trendJSON     `json:"trends"`
		Flags    []trend.Flag    `json:"flags"`
		Verdicts []price.Verdict `json:"verdicts"`
	}{"pleatstat/trend/1", encode.LogOf(log, t.Response, t.Predictor), []trendJSON{{t, points}}, f.Flags, f.Verdicts})
}
