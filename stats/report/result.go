// Package report puts one log's findings together: what is wrong with the log,
// the trends over everything opened, the products that fall off them, the
// price verdict on each and the drift of each maker.
//
// It returns data and prints nothing.
package report

import (
	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Summary says what the log holds.
type Summary struct {
	File        string `json:"file"`
	Rows        int    `json:"rows"` // openings in the log
	Used        int    `json:"used"` // openings behind at least one point of a trend
	Makers      int    `json:"makers"`
	Parts       int    `json:"parts"`                    // products (maker and part number together)
	FirstOpened string `json:"first_opened" null:"zero"` // ISO 8601 at the precision logged; "" = no dates
	LastOpened  string `json:"last_opened" null:"zero"`
	Units       string `json:"units"` // us, metric or mixed
	Columns     dataset.ColumnsRead
}

// Findings is everything the report tells.
type Findings struct {
	Log      Summary
	Units    dataset.Units
	Problems []dataset.Problem
	SetAside []dataset.CellRef // readings left out as physically impossible, and dates that cannot be
	Notices  []string          // to be said before anything else
	Trends   []*trend.Trend
	Flags    []trend.Flag
	// Verdicts are on every product, the dearest for its contents first.
	Verdicts []price.Verdict
	Judged   []price.Judgement // what the verdicts on products with price and area rest on
	// PriceWarnings say what of the contents no price could be judged by.
	PriceWarnings []string
	MoneyOf       float64 // decimal year whose money all judged prices are in; NaN without dates
	Usable        int     // products with a price and a media area
	Rise          price.Rise
	RiseKnown     bool             // false: too short a log, or too few prices, for Rise
	MostMedia     []price.ForMoney // where prices can't be judged: what there is, most media for the money first
	Foreign       []dataset.Foreign
	Drift         []drift.Entry
	Warnings      []string
}
