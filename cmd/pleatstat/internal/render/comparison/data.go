package comparison

import (
	"io"
	"strconv"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/dataset"
	"pleatstat/stats/compare"
	"pleatstat/stats/price"
)

type comparedJSON struct {
	compare.Product
	Verdict *price.Verdict `json:"verdict"`
}

// JSON writes a comparison as JSON, in base units. Differences are between each
// product after the first and the first; places count from 0.
func JSON(w io.Writer, log *dataset.Log, c *compare.Comparison) error {
	products := make([]comparedJSON, len(c.Products))
	for k, p := range c.Products {
		products[k].Product = p
		if k < len(c.Prices) {
			products[k].Verdict = &c.Prices[k].Verdict
		}
	}
	return encode.JSON(w, struct {
		Schema   string             `json:"schema"`
		Log      encode.Log         `json:"log"`
		Kind     compare.Kind       `json:"kind"`
		MoneyOf  float64            `json:"money_of"`
		Products []comparedJSON     `json:"products"`
		Changes  []compare.Change   `json:"changes"`
		Doubted  []compare.Doubt    `json:"doubted"`
		Measures []compare.Measure  `json:"measures"`
		Words    []compare.Words    `json:"words"`
		Only     []compare.Only     `json:"only"`
		Prices   []prices.Judgement `json:"prices"`
		Warnings []string           `json:"warnings"`
	}{
		Schema: "pleatstat/compare/2", Log: encode.LogOf(log), Kind: c.Kind, MoneyOf: c.MoneyOf, Products: products, Changes: c.Changes,
		Doubted: c.Doubted, Measures: c.Measures, Words: c.Words, Only: c.Only, Prices: prices.JudgementsOf(c.Prices), Warnings: c.Warnings,
	})
}

// comparedName returns the name of a product in a CSV header.
func comparedName(p compare.Product) string {
	return strings.Join(strings.Fields(p.Maker+" "+p.Part+" "+p.When), " ")
}

// CSV writes a comparison as a table; the unit of each row is in that row, the log's
// own.
func CSV(w io.Writer, c *compare.Comparison, u dataset.Units) error {
	header := []string{"measure", "unit"}
	for _, p := range c.Products {
		name := comparedName(p)
		header = append(header, name, "n of "+name)
	}
	for _, p := range c.Products[1:] {
		name := comparedName(p)
		header = append(header, "difference of "+name, "ratio of "+name, "differs: "+name)
	}
	var rows [][]string
	for _, m := range c.Measures {
		row := []string{m.Column, encode.UnitOf(u, m.Column)}
		for _, v := range m.Values {
			row = append(row, encode.InUnit(u, m.Column, v.Mean), strconv.Itoa(v.N))
		}
		for _, d := range m.Differences {
			row = append(row, encode.InUnit(u, m.Column, d.By), encode.Digits(d.Ratio, 3), strconv.FormatBool(d.Beyond))
		}
		rows = append(rows, row)
	}
	for _, v := range c.Words {
		row := []string{v.Column, ""}
		for _, words := range v.Values {
			row = append(row, strings.Join(words, "; "), "")
		}
		for range c.Products[1:] {
			row = append(row, "", "", strconv.FormatBool(v.Differs))
		}
		rows = append(rows, row)
	}
	for _, o := range c.Only {
		row := make([]string, len(header))
		row[0], row[1] = o.Column, encode.UnitOf(u, o.Column)
		row[2+2*o.Place] = strings.Join(o.Words, "; ")
		if len(o.Words) == 0 {
			row[2+2*o.Place] = encode.InUnit(u, o.Column, o.Value)
			row[2+2*o.Place+1] = strconv.Itoa(o.N)
		}
		rows = append(rows, row)
	}
	return encode.CSV(w, header, rows)
}
