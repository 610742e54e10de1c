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
	File          string
	Rows          int    // openings in the log
	Used          int    // openings behind at least one point of a trend
	Makers, Parts int    // makers; products (maker and part number together)
	FirstOpened   string // ISO 8601 at the precision logged; "" = no dates
	LastOpened    string
	Units         string // us, metric or mixed
	Columns       dataset.ColumnsRead
}

// PriceFinding is a product flagged against media area alone, with the verdict
// on everything inside it beside it.
type PriceFinding struct {
	Flag      trend.Flag
	Judgement price.Judgement
	Judged    bool // false: the contents model had too little to judge it by
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
	Prices   []PriceFinding    // the price flags of Flags, in the same order
	Judged   []price.Judgement // every product, dearest for its contents first
	// PriceWarnings say what of the contents no price could be judged by.
	PriceWarnings []string
	Drift         []drift.Entry
	Warnings      []string
}
