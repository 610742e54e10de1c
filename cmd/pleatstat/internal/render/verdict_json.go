package render

import (
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

type evidenceJSON struct {
	Expected num `json:"expected"`
	Low      num `json:"low"`
	High     num `json:"high"`
	P        num `json:"p"`
	Q        num `json:"q"`
	PClear   num `json:"p_clear"`
	QClear   num `json:"q_clear"`
}

// verdictJSON is the object that stands for a verdict wherever one is told.
type verdictJSON struct {
	Maker      string       `json:"maker"`
	Part       string       `json:"part"`
	Grade      trend.Grade  `json:"grade"`
	Direction  *string      `json:"direction"`
	Price      num          `json:"price"`
	PriceDate  *string      `json:"price_date"`
	Paid       num          `json:"paid"`
	MoneyOf    *string      `json:"money_of"`
	Fair       num          `json:"fair"`
	Low        num          `json:"low"`
	High       num          `json:"high"`
	Ratio      num          `json:"ratio"`
	MoneyAbove num          `json:"money_above"`
	N          int          `json:"n"`
	Lines      []int        `json:"lines"`
	Why        *string      `json:"why"`
	ByArea     evidenceJSON `json:"by_area"`
	ByInside   evidenceJSON `json:"by_inside"`
}

func verdictOf(v price.Verdict) verdictJSON {
	evidence := func(e trend.Evidence) evidenceJSON {
		return evidenceJSON{num(e.Expected), num(e.Low), num(e.High), num(e.P), num(e.Q), num(e.PClear), num(e.QClear)}
	}
	return verdictJSON{v.Maker, v.Part, v.Grade, orNull(v.Direction), num(v.Price), orNull(v.PriceDate), num(v.Paid), orNull(v.MoneyOf),
		num(v.Fair), num(v.Low), num(v.High), num(v.Ratio), num(v.MoneyAbove), v.N, list(v.Lines), orNull(v.Why), evidence(v.ByArea), evidence(v.ByInside)}
}

func verdictsOf(all []price.Verdict) []verdictJSON {
	out := make([]verdictJSON, 0, len(all))
	for _, v := range all {
		out = append(out, verdictOf(v))
	}
	return out
}
