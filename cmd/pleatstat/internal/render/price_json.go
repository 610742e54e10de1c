package render

import (
	"io"

	"pleatstat/dataset"
	"pleatstat/stats/price"
)

type contributionJSON struct {
	Content string `json:"content"`
	Value   string `json:"value"`
	Factor  num    `json:"factor"`
}

type comparableJSON struct {
	Maker     string `json:"maker"`
	Part      string `json:"part"`
	Price     num    `json:"price"`
	MediaArea num    `json:"media_area"`
	Distance  num    `json:"distance"`
	price.Mount
	SameThread bool `json:"same_thread"`
}

type judgementJSON struct {
	Maker         string             `json:"maker"`
	Part          string             `json:"part"`
	Verdict       verdictJSON        `json:"verdict"`
	Low80         num                `json:"low_80"`
	High80        num                `json:"high_80"`
	UsualLow      num                `json:"usual_low"`
	UsualHigh     num                `json:"usual_high"`
	ShareBelow    num                `json:"share_below"`
	Rank          *int               `json:"rank"`
	Of            int                `json:"of"`
	Base          num                `json:"base"`
	Contributions []contributionJSON `json:"contributions"`
	Mount         *price.Mount       `json:"mount,omitempty"`
	Comparables   *[]comparableJSON  `json:"comparables,omitempty"`
	Needed        *int               `json:"needed"`
	Warnings      []string           `json:"warnings"`
}

func judgementOf(j price.Judgement, comparables bool) judgementJSON {
	out := judgementJSON{
		Maker: j.Maker, Part: j.Part, Verdict: verdictOf(j.Verdict),
		Low80: num(j.Low80), High80: num(j.High80), UsualLow: num(j.UsualLow), UsualHigh: num(j.UsualHigh), ShareBelow: num(j.ShareBelow),
		Rank: countOrNull(j.Rank, j.Rank > 0), Of: j.Of, Base: num(j.Base), Contributions: []contributionJSON{},
		Needed: countOrNull(j.Needed, j.Needed > 0), Warnings: list(j.Warnings),
	}
	for _, c := range j.Contributions {
		out.Contributions = append(out.Contributions, contributionJSON{c.Content, c.Value, num(c.Factor)})
	}
	if comparables {
		near := []comparableJSON{}
		for _, c := range j.Comparables {
			near = append(near, comparableJSON{c.Maker, c.Part, num(c.Price), num(c.MediaArea), num(c.Distance), c.Mount, c.SameThread})
		}
		out.Comparables, out.Mount = &near, &j.Mount
	}
	return out
}

func judgementsOf(all []price.Judgement, comparables bool) []judgementJSON {
	out := make([]judgementJSON, 0, len(all))
	for _, j := range all {
		out = append(out, judgementOf(j, comparables))
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
	}{priceSchema, readLogOf(log), judgementOf(j, true)})
}

// PricesJSON writes the ranked list of all parts; warnings are those about all
// of them.
func PricesJSON(w io.Writer, log *dataset.Log, all []price.Judgement, warnings []string) error {
	return writeJSON(w, struct {
		Schema   string          `json:"schema"`
		Log      readLogJSON     `json:"log"`
		Parts    []judgementJSON `json:"parts"`
		Warnings []string        `json:"warnings"`
	}{priceSchema, readLogOf(log), judgementsOf(all, false), list(warnings)})
}
