package render

import (
	"io"

	"pleatstat/dataset"
	"pleatstat/stats/price"
)

// judgementJSON is a judgement that names its product first, beside the verdict
// that does so too.
type judgementJSON struct {
	Maker string `json:"maker"`
	Part  string `json:"part"`
	price.Judgement
}

func judgementOf(j price.Judgement) judgementJSON { return judgementJSON{j.Maker, j.Part, j} }

func judgementsOf(all []price.Judgement) []judgementJSON {
	out := make([]judgementJSON, len(all))
	for i, j := range all {
		out[i] = judgementOf(j)
	}
	return out
}

const priceSchema = "pleatstat/price/2"

// PriceJSON writes the verdict on one part.
func PriceJSON(w io.Writer, log *dataset.Log, j price.Judgement) error {
	return writeJSON(w, struct {
		Schema string      `json:"schema"`
		Log    readLogJSON `json:"log"`
		judgementJSON
	}{priceSchema, readLogOf(log), judgementOf(j)})
}

// PricesJSON writes the ranked list of all parts; warnings are those about all
// of them.
func PricesJSON(w io.Writer, log *dataset.Log, all []price.Judgement, warnings []string) error {
	return writeJSON(w, struct {
		Schema   string          `json:"schema"`
		Log      readLogJSON     `json:"log"`
		Parts    []judgementJSON `json:"parts" without:"mount,comparables"`
		Warnings []string        `json:"warnings"`
	}{priceSchema, readLogOf(log), judgementsOf(all), warnings})
}
