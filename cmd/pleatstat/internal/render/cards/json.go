package cards

import (
	"io"
	"math"

	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/dataset"
	"pleatstat/stats/card"
	"pleatstat/stats/latest"
)

const cardSchema = "pleatstat/show/1"

// latestOpeningJSON is an opening with its news in words.
type latestOpeningJSON struct {
	latest.Opening
	News []newsText `json:"news"`
}

// usualJSON is what a part without a price would usually cost.
type usualJSON struct {
	Fair float64 `json:"fair"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// LatestJSON writes what the newest openings showed.
func LatestJSON(w io.Writer, log *dataset.Log, l *latest.Latest) error {
	openings := make([]latestOpeningJSON, len(l.Openings))
	for i, o := range l.Openings {
		openings[i] = latestOpeningJSON{o, newsOf(o, l, log.Units())}
	}
	return encode.JSON(w, struct {
		Schema   string              `json:"schema"`
		Log      encode.Log          `json:"log"`
		Of       string              `json:"of" null:"zero"` // the last date of the log, if its openings are reported
		Openings []latestOpeningJSON `json:"openings"`
	}{"pleatstat/latest/1", encode.LogOf(log), l.Of, openings})
}

// PartJSON writes all there is to report of a part.
func PartJSON(w io.Writer, log *dataset.Log, c *card.Part) error {
	j := c.Judgement
	j.Verdict = c.Verdict
	var usual *usualJSON
	if v := c.Judgement.Verdict; math.IsNaN(c.Verdict.Fair) && !math.IsNaN(v.Fair) {
		usual = &usualJSON{v.Fair, v.Low, v.High}
	}
	return encode.JSON(w, struct {
		Schema  string     `json:"schema"`
		Kind    string     `json:"kind"`
		Log     encode.Log `json:"log"`
		Caution string     `json:"caution"`
		prices.Judgement
		Usual      *usualJSON `json:"usual_without_price"`
		*card.Part `without:"maker,part,verdict"`
	}{cardSchema, "part", encode.LogOf(log), mountCaution, prices.JudgementOf(j), usual, c})
}

// MakerJSON writes all there is to report of a maker.
func MakerJSON(w io.Writer, log *dataset.Log, m *card.Maker) error {
	return encode.JSON(w, struct {
		Schema string      `json:"schema"`
		Kind   string      `json:"kind"`
		Log    encode.Log  `json:"log"`
		Maker  *card.Maker `json:"maker"`
	}{cardSchema, "maker", encode.LogOf(log), m})
}
