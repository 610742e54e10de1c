package prices

import (
	"io"
	"strconv"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/stats/price"
)

// Judgement is a judgement for JSON: its maker and part come first, although its verdict
// has them too.
type Judgement struct {
	Maker string `json:"maker"`
	Part  string `json:"part"`
	price.Judgement
}

// JudgementOf returns a judgement in its form for JSON.
func JudgementOf(j price.Judgement) Judgement { return Judgement{j.Maker, j.Part, j} }

// JudgementsOf does the same for several.
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

// RankingJSON writes the ranking of all parts; warnings are those that concern all of
// them.
func RankingJSON(w io.Writer, log *dataset.Log, all []price.Judgement, warnings []string) error {
	return encode.JSON(w, struct {
		Schema   string      `json:"schema"`
		Log      encode.Log  `json:"log"`
		Parts    []Judgement `json:"parts" without:"mount,comparables"`
		Warnings []string    `json:"warnings"`
	}{priceSchema, encode.LogOf(log), JudgementsOf(all), warnings})
}

// RankingCSV writes the ranking of all parts as a table, in the log's units.
func RankingCSV(w io.Writer, all []price.Judgement, u dataset.Units) error {
	money := " (" + u.Currency() + ")"
	if u.Currency() == "" {
		money = ""
	}
	of := ""
	if len(all) > 0 && all[0].MoneyOf != "" {
		of = " in the money of " + all[0].MoneyOf
	}
	header := []string{"rank", "maker", "part", "grade", "direction", "openings", "last bought", "paid" + money, "price" + of + money,
		"usual" + money, "low" + money, "high" + money, "ratio", "why", "lines"}
	rows := make([][]string, 0, len(all))
	for _, j := range all {
		rank := ""
		if j.Rank > 0 {
			rank = strconv.Itoa(j.Rank)
		}
		rows = append(rows, []string{rank, j.Maker, j.Part, string(j.Grade), j.Direction, strconv.Itoa(j.N), j.PriceDate, encode.Number(j.Paid), encode.Number(j.Price),
			encode.Number(j.Fair), encode.Number(j.Low), encode.Number(j.High), encode.Number(j.Ratio), j.Why, strings.Join(wording.Numerals(j.Lines), " ")})
	}
	return encode.CSV(w, header, rows)
}
