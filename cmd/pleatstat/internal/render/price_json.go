package render

import (
	"io"
	"strings"

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
}

type areaOnlyJSON struct {
	Fair   num `json:"fair"`
	Low95  num `json:"low_95"`
	High95 num `json:"high_95"`
}

type judgementJSON struct {
	Maker           string             `json:"maker"`
	Part            string             `json:"part"`
	N               int                `json:"n"`
	Paid            num                `json:"paid"`
	Fair            num                `json:"fair"`
	Low80           num                `json:"low_80"`
	High80          num                `json:"high_80"`
	Low95           num                `json:"low_95"`
	High95          num                `json:"high_95"`
	PremiumRatio    num                `json:"premium_ratio"`
	PremiumMoney    num                `json:"premium_money"`
	ChanceAboveFair num                `json:"chance_above_fair"`
	Rank            *int               `json:"rank"`
	Of              int                `json:"of"`
	Base            num                `json:"base"`
	Contributions   []contributionJSON `json:"contributions"`
	Comparables     *[]comparableJSON  `json:"comparables,omitempty"`
	AreaOnly        areaOnlyJSON       `json:"area_only"`
	Verdict         price.Verdict      `json:"verdict"`
	MoneyOf         num                `json:"money_of"`
	Needed          *int               `json:"needed"`
	Disagreement    *string            `json:"disagreement"`
	Warnings        []string           `json:"warnings"`
}

func judgementOf(j price.Judgement, comparables bool) judgementJSON {
	out := judgementJSON{
		Maker: j.Maker, Part: j.Part, N: j.N, Paid: num(j.Paid), Fair: num(j.Fair),
		Low80: num(j.Low80), High80: num(j.High80), Low95: num(j.Low95), High95: num(j.High95),
		PremiumRatio: num(j.PremiumRatio), PremiumMoney: num(j.PremiumMoney), ChanceAboveFair: num(j.ChanceAboveFair),
		Rank: countOrNull(j.Rank, j.Rank > 0), Of: j.Of, Base: num(j.Base),
		Contributions: []contributionJSON{},
		AreaOnly:      areaOnlyJSON{num(j.AreaOnly.Fair), num(j.AreaOnly.Low95), num(j.AreaOnly.High95)},
		Verdict:       j.Verdict, MoneyOf: num(j.MoneyOf), Needed: countOrNull(j.Needed, j.Needed > 0),
		Disagreement: orNull(strings.ReplaceAll(disagreement(j), nbsp, " ")), Warnings: list(j.Warnings),
	}
	for _, c := range j.Contributions {
		out.Contributions = append(out.Contributions, contributionJSON{c.Content, c.Value, num(c.Factor)})
	}
	if comparables {
		near := []comparableJSON{}
		for _, c := range j.Comparables {
			near = append(near, comparableJSON{c.Maker, c.Part, num(c.Price), num(c.MediaArea), num(c.Distance)})
		}
		out.Comparables = &near
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

// PriceJSON writes the verdict on one part.
func PriceJSON(w io.Writer, j price.Judgement) error {
	return writeJSON(w, struct {
		Schema string `json:"schema"`
		judgementJSON
	}{"pleatstat/price/1", judgementOf(j, true)})
}

// PricesJSON writes the ranked list of all parts; warnings are those about all
// of them.
func PricesJSON(w io.Writer, all []price.Judgement, warnings []string) error {
	return writeJSON(w, struct {
		Schema   string          `json:"schema"`
		Parts    []judgementJSON `json:"parts"`
		Warnings []string        `json:"warnings"`
	}{"pleatstat/price/1", judgementsOf(all, false), list(warnings)})
}
