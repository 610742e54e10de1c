package prices

import (
	"io"

	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/dataset"
	"pleatstat/stats/price"
)

// Judgement is a judgement that names its product first, beside the verdict
// that does so too.
type Judgement struct {
	Maker string `json:"maker"`
	Part  string `json:"part"`
	price.Judgement
}

// JudgementOf is a judgement in its form for programs.
func JudgementOf(j price.Judgement) Judgement { return Judgement{j.Maker, j.Part, j} }

// JudgementsOf is the same for several.
func JudgementsOf(all []price.Judgement) []Judgement {
	out := make([]Judgement, len(all))
	for i, j := range all {
		out[i] = JudgementOf(j)
	}
	return out
}

const priceSchema = "pleatstat/price/2"

// PartJSON writes the verdict on one part.
func PartJSON(w io.Writer, log *dataset.Log, j price.Judgement) error {
	return encode.JSON(w, struct {
		Schema string     `json:"schema"`
		Log    encode.Log `json:"log"`
		Judgement
	}{priceSchema, encode.LogOf(log), JudgementOf(j)})
}

// RankingJSON writes the ranked list of all parts; warnings are those about all
// of them.
func RankingJSON(w io.Writer, log *dataset.Log, all []price.Judgement, warnings []string) error {
	return encode.JSON(w, struct {
		Schema   string      `json:"schema"`
		Log      encode.Log  `json:"log"`
		Parts    []Judgement `json:"parts" without:"mount,comparables"`
		Warnings []string    `json:"warnings"`
	}{priceSchema, encode.LogOf(log), JudgementsOf(all), warnings})
}
