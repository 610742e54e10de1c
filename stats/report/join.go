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
	// The frame's join compares every pair, so that it is asked maker by maker
	// and for flagged products only.
	type side struct {
		keys []string
		rows []int
	}
	flagsOf, judgedOf := map[string]*side{}, map[string]*side{}
	add := func(sides map[string]*side, maker, part string, row int) {
		if sides[maker] == nil {
			sides[maker] = &side{}
		}
		s := sides[maker]
		s.keys, s.rows = append(s.keys, productKey(maker, part)), append(s.rows, row)
	}
	flagged := map[string]bool{}
	for _, f := range flags {
		if f.Kind == trend.OffTrend {
			continue
		}
		add(flagsOf, f.Maker, f.Part, len(found))
		found = append(found, PriceFinding{Flag: f})
		flagged[productKey(f.Maker, f.Part)] = true
	}
	for i, j := range judged {
		if flagged[productKey(j.Maker, j.Part)] {
			add(judgedOf, j.Maker, j.Part, i)
		}
	}
	for maker, verdicts := range judgedOf {
		flags := flagsOf[maker]
		left := dataframe.New(series.New(flags.keys, series.String, "product"), series.New(flags.rows, series.Int, "flag"))
		right := dataframe.New(series.New(verdicts.keys, series.String, "product"), series.New(verdicts.rows, series.Int, "judgement"))
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
	}
	return found, nil
}
