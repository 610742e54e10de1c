package report

import (
	"fmt"

	"github.com/go-gota/gota/dataframe"
	"github.com/go-gota/gota/series"

	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// productKey names a product in a frame: the separator cannot stand in a cell
// of the log that was read as a name.
func productKey(maker, part string) string { return maker + "\x1f" + part }

// joinPrices sets the price verdict on a product's contents beside each price
// flag, joining on the product.
func joinPrices(flags []trend.Flag, judged []price.Judgement) ([]PriceFinding, error) {
	var found []PriceFinding
	var keys []string
	flagged := map[string]bool{}
	for _, f := range flags {
		if f.Kind == trend.OffTrend {
			continue
		}
		found = append(found, PriceFinding{Flag: f})
		keys = append(keys, productKey(f.Maker, f.Part))
		flagged[productKey(f.Maker, f.Part)] = true
	}
	var judgedKeys []string
	var judgedRows []int
	for i, j := range judged {
		// Only flagged products go into the join: it compares every pair.
		if key := productKey(j.Maker, j.Part); flagged[key] {
			judgedKeys, judgedRows = append(judgedKeys, key), append(judgedRows, i)
		}
	}
	if len(keys) == 0 || len(judgedKeys) == 0 {
		return found, nil
	}
	order := make([]int, len(keys))
	for i := range order {
		order[i] = i
	}
	left := dataframe.New(series.New(keys, series.String, "product"), series.New(order, series.Int, "flag"))
	right := dataframe.New(series.New(judgedKeys, series.String, "product"), series.New(judgedRows, series.Int, "judgement"))
	joined := left.InnerJoin(right, "product")
	if joined.Err != nil {
		return nil, fmt.Errorf("joining flags and price verdicts: %w", joined.Err)
	}
	flagRows, err := joined.Col("flag").Int()
	if err != nil {
		return nil, fmt.Errorf("joining flags and price verdicts: %w", err)
	}
	verdictRows, err := joined.Col("judgement").Int()
	if err != nil {
		return nil, fmt.Errorf("joining flags and price verdicts: %w", err)
	}
	for k, at := range flagRows {
		found[at].Judgement, found[at].Judged = judged[verdictRows[k]], true
	}
	return found, nil
}
