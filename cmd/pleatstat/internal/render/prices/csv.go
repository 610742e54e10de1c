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

// RankingCSV writes the ranked list of all parts as a table, in the log's units.
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
