package findings

import (
	"io"
	"slices"

	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/report"
	"pleatstat/stats/trend"
)

// schema is the name and version of the format of findings.json.
const schema = "pleatstat/findings/2"

type logJSON struct {
	report.Summary
	Currency string `json:"currency" null:"zero"`
	dataset.ColumnsRead
}

// JSON writes the findings for other programs: base units, six significant digits,
// missing values null.
func JSON(w io.Writer, f *report.Findings) error {
	var rise *price.Rise
	if f.RiseKnown {
		rise = &f.Rise
	}
	return encode.JSON(w, struct {
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
		Schema: schema, Verdicts: f.Verdicts, Log: logOf(f), Problems: f.Problems, Trends: f.Trends, Flags: f.Flags,
		Drift: f.Drift, Rise: rise, Foreign: f.Foreign, SetAside: f.SetAside,
		Warnings: slices.Concat(f.Notices, f.Warnings, f.PriceWarnings),
	})
}

func logOf(f *report.Findings) logJSON {
	return logJSON{f.Log, f.Units.Currency(), f.Log.Columns}
}
