package render

import (
	"io"
	"strconv"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/price"
)

// PricesCSV writes the ranked list of all parts as a table, in the log's units.
func PricesCSV(w io.Writer, all []price.Judgement, u dataset.Units) error {
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
		rows = append(rows, []string{rank, j.Maker, j.Part, string(j.Grade), j.Direction, strconv.Itoa(j.N), j.PriceDate, number(j.Paid), number(j.Price),
			number(j.Fair), number(j.Low), number(j.High), number(j.Ratio), j.Why, strings.Join(numerals(j.Lines), " ")})
	}
	return writeCSV(w, header, rows)
}
