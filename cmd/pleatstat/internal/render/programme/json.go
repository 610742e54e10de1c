package programme

import (
	"io"
	"math"
	"slices"

	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/roundup"
	"pleatstat/stats/trend"
)

type roundupJSON struct {
	Schema       string               `json:"schema"`
	Log          encode.Log           `json:"log"`
	File         string               `json:"file"`
	Year         int                  `json:"year"`
	ComparedWith int                  `json:"compared_with" null:"zero"`
	Years        []int                `json:"years"`
	Units        string               `json:"units"`
	Currency     string               `json:"currency" null:"zero"`
	Opened       roundup.Opened       `json:"opened"`
	Changed      []drift.Entry        `json:"maker_changes"`
	Tables       []roundup.Table      `json:"tables"`
	Shifts       []roundup.Shift      `json:"shifts"`
	Reopened     reopenedJSON         `json:"reopened"`
	Makers       []roundup.MakerTable `json:"makers"`
	Records      []roundup.Record     `json:"records"`
	NoRecords    string               `json:"no_records" null:"zero"`
	Gaps         []roundup.Gap        `json:"not_measured_enough"`
	Next         []roundup.Candidate  `json:"open_next"`
	Doubtful     []dataset.Problem    `json:"doubtful"`
	Warnings     []string             `json:"warnings"`
}

type reopenedJSON struct {
	roundup.Reopened
	Changes  []changeJSON         `json:"changes"`
	Recorded []roundup.WordChange `json:"recorded_otherwise"`
}

// changeJSON is a change with its strength as a word, and with the market's factor only
// if the change was judged after the market's own rise.
type changeJSON struct {
	roundup.Change
	Strength string  `json:"strength"`
	Lines    []int   `json:"lines"`
	Market   float64 `json:"market_factor"`
}

func changeOf(c roundup.Change) changeJSON {
	out := changeJSON{Change: c, Strength: string(trend.Hint), Lines: c.Lines, Market: math.NaN()}
	if c.Clear {
		out.Strength = string(trend.Clear)
	}
	if c.AboveMarket {
		out.Market = c.MarketFactor
	}
	return out
}

// JSON writes a roundup under the schema pleatstat/roundup/1: numbers in base units and
// the log's currency, missing ones null.
func JSON(w io.Writer, log *dataset.Log, r *roundup.Roundup) error {
	again := reopenedJSON{Reopened: r.Reopened, Recorded: r.Reopened.Words}
	for _, c := range r.Reopened.Changes {
		again.Changes = append(again.Changes, changeOf(c))
	}
	return encode.JSON(w, roundupJSON{
		Schema: "pleatstat/roundup/1", Log: encode.LogOf(log), File: r.File, Year: r.Year, ComparedWith: r.Before, Years: r.Years,
		Units: r.Units.System(), Currency: r.Units.Currency(), Opened: r.Opened, Changed: r.Changed, Tables: r.Tables,
		Shifts: r.Shifts, Reopened: again, Makers: r.Makers, Records: r.Records, NoRecords: r.NoRecord, Gaps: r.Gaps,
		Next: r.Next, Doubtful: r.Doubtful, Warnings: slices.Concat(r.Notices, r.Warnings),
	})
}
