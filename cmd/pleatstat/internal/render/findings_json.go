package render

import (
	"io"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/report"
	"pleatstat/stats/trend"
)

// FindingsSchema names the contract that findings.json keeps.
const FindingsSchema = "pleatstat/findings/2"

type logJSON struct {
	report.Summary
	Currency string `json:"currency" null:"zero"`
	columnsJSON
}

// FindingsJSON writes the findings in the form programs read: base units,
// six significant digits, missing values null.
func FindingsJSON(w io.Writer, f *report.Findings) error {
	var rise *price.Rise
	if f.RiseKnown {
		rise = &f.Rise
	}
	return writeJSON(w, struct {
		Schema   string            `json:"schema"`
		Verdicts []price.Verdict   `json:"verdicts"`
		Log      logJSON           `json:"log"`
		Problems []dataset.Problem `json:"problems"`
		Trends   []*trend.Trend    `json:"trends"`
		Flags    []trend.Flag      `json:"flags"`
		Drift    []drift.Entry     `json:"drift"`
		Rise     *price.Rise       `json:"price_rise"`
		Foreign  []dataset.Foreign `json:"prices_left_out"`
		SetAside []dataset.CellRef `json:"set_aside"`
		Warnings []string          `json:"warnings"`
	}{
		Schema: FindingsSchema, Verdicts: f.Verdicts, Log: logOf(f), Problems: f.Problems, Trends: f.Trends, Flags: f.Flags,
		Drift: f.Drift, Rise: rise, Foreign: f.Foreign, SetAside: f.SetAside,
		Warnings: slices.Concat(f.Notices, f.Warnings, f.PriceWarnings),
	})
}

func logOf(f *report.Findings) logJSON {
	return logJSON{f.Log, f.Units.Currency(), columnsOf(f.Log.Columns)}
}
