package render

import (
	"io"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/report"
)

// FindingsSchema names the contract that findings.json keeps.
const FindingsSchema = "pleatstat/findings/2"

type logJSON struct {
	File        string  `json:"file"`
	Rows        int     `json:"rows"`
	Used        int     `json:"used"`
	Makers      int     `json:"makers"`
	Parts       int     `json:"parts"`
	FirstOpened *string `json:"first_opened"`
	LastOpened  *string `json:"last_opened"`
	Units       string  `json:"units"`
	Currency    *string `json:"currency"`
	columnsJSON
}

// riseJSON is the yearly rise of prices for the same contents, as a share.
type riseJSON struct {
	PerYear num `json:"per_year"`
	Low     num `json:"low"`
	High    num `json:"high"`
	From    num `json:"from"`
	To      num `json:"to"`
	N       int `json:"n"`
}

type setAsideJSON struct {
	Row    int    `json:"row"`
	Column string `json:"column"`
}

type findingsJSONDoc struct {
	Schema   string            `json:"schema"`
	Verdicts []price.Verdict   `json:"verdicts"`
	Log      logJSON           `json:"log"`
	Problems []dataset.Problem `json:"problems"`
	Trends   []trendJSON       `json:"trends"`
	Flags    []flagJSON        `json:"flags"`
	Drift    []drift.Entry     `json:"drift"`
	Rise     *riseJSON         `json:"price_rise"`
	Foreign  []dataset.Foreign `json:"prices_left_out"`
	SetAside []setAsideJSON    `json:"set_aside"`
	Warnings []string          `json:"warnings"`
}

// FindingsJSON writes the findings in the form programs read: base units,
// six significant digits, missing values null.
func FindingsJSON(w io.Writer, f *report.Findings) error {
	doc := findingsJSONDoc{
		Schema:   FindingsSchema,
		Log:      logOf(f),
		Problems: list(f.Problems),
		Trends:   trendsOf(f.Trends, false),
		Flags:    flagsOf(f.Flags),
		Drift:    f.Drift,
		Verdicts: f.Verdicts,
		Foreign:  list(f.Foreign),
		SetAside: setAsideOf(f.SetAside),
		Warnings: list(slices.Concat(f.Notices, f.Warnings, f.PriceWarnings)),
	}
	if f.RiseKnown {
		doc.Rise = &riseJSON{num(f.Rise.PerYear), num(f.Rise.Low), num(f.Rise.High), num(f.Rise.From), num(f.Rise.To), f.Rise.N}
	}
	return writeJSON(w, doc)
}

func logOf(f *report.Findings) logJSON {
	return logJSON{f.Log.File, f.Log.Rows, f.Log.Used, f.Log.Makers, f.Log.Parts,
		orNull(f.Log.FirstOpened), orNull(f.Log.LastOpened), f.Log.Units, orNull(f.Units.Currency()), columnsOf(f.Log.Columns)}
}

func setAsideOf(refs []dataset.CellRef) []setAsideJSON {
	out := make([]setAsideJSON, 0, len(refs))
	for _, r := range refs {
		out = append(out, setAsideJSON{r.Row, r.Column})
	}
	return out
}
