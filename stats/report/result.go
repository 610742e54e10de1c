// Package report collects the findings on one log: what is wrong with it, the
// trends over everything opened, the products that fall off them, the price
// verdict on each and the drift of each maker.
//
// Results are data; the package prints nothing.
package report

import (
	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Summary describes the log.
type Summary struct {
	File        string `json:"file"`
	Rows        int    `json:"rows"` // openings in the log
	Used        int    `json:"used"` // openings used in at least one point of a trend
	Makers      int    `json:"makers"`
	Parts       int    `json:"parts"`                    // products (maker and part number together)
	FirstOpened string `json:"first_opened" null:"zero"` // ISO 8601 at the precision logged; "" = no dates
	LastOpened  string `json:"last_opened" null:"zero"`
	Units       string `json:"units"` // us, metric or mixed
	Columns     dataset.ColumnsRead
}

// Findings is everything in the report.
type Findings struct {
	Log      Summary
	Units    dataset.Units
	Problems []dataset.Problem
	SetAside []dataset.CellRef // impossible readings left out, and impossible dates
	Notices  []string          // to be shown before anything else
	Trends   []*trend.Trend
	Flags    []trend.Flag
	// Verdicts are the verdicts on every product, dearest for its contents first.
	Verdicts []price.Verdict
	Judged   []price.Judgement // judgements of the products with price and area
	// PriceWarnings state which contents could not be used.
	PriceWarnings []string
	MoneyOf       float64 // decimal year to whose money all judged prices are converted; NaN without dates
	Usable        int     // products with a price and a media area
	Rise          price.Rise
	RiseKnown     bool             // false: too short a log, or too few prices, for Rise
	MostMedia     []price.ForMoney // where prices can't be judged: products by media per money, most first
	Foreign       []dataset.Foreign
	Drift         []drift.Entry
	Warnings      []string
}
