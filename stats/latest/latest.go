// Package latest tells what the newest openings of a log showed: each against its
// price, its own earlier openings, what its size predicts and the other parts,
// the most newsworthy first.
//
// It judges nothing anew: what it puts in order comes from the analyses that
// card gathers. It returns data, in base units and the log's currency; it prints
// and draws nothing.
package latest

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats/card"
	"pleatstat/stats/check"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/roundup"
	"pleatstat/stats/trend"
)

// MostNews is the number of things told of one opening.
const MostNews = 8

// Latest is what some openings showed.
type Latest struct {
	Rows     int // of the log
	Products int
	Of       string // the last date, where its openings are told; "" else
	Openings []Opening
	Dated    bool // the log has dates
	// NotTold is the line of the log's last row where that is not among the
	// openings of the last date; 0 = it is.
	NotTold int
}

// Opening is one of them.
type Opening struct {
	Maker    string        `json:"maker"`
	Part     string        `json:"part"`
	Line     int           `json:"line"`
	Opened   string        `json:"opened" null:"zero"`   // ISO 8601 at the precision logged; "" without a date
	Before   int           `json:"openings_before"`      // of this part
	First    First         `json:"first_of" null:"zero"` // what it is the first of
	Verdict  price.Verdict `json:"verdict"`
	Measures []string      // key measures that it has
	Values   []float64     // theirs, base units
	News     []News        // the most newsworthy first
	Card     *card.Part    // of the part
}

// First says what an opening is the first of.
type First string

const (
	OfLog   First = "log"
	OfMaker First = "maker"
	OfPart  First = "part"
	Again   First = "" // the part was opened before
)

// Kind says what a piece of news is about.
type Kind string

const (
	Price    Kind = "price"
	Another  Kind = "another filter"
	Earlier  Kind = "earlier openings"
	Steady   Kind = "no difference"
	Reworded Kind = "recorded otherwise"
	FirstOf  Kind = "first"
	OffTrend Kind = "off trend"
	Place    Kind = "place"
	Change   Kind = "maker's change"
	Slip     Kind = "slip"
	Missing  Kind = "not measured"
)

// News is one piece. Only the field of its kind is set.
type News struct {
	Kind     Kind
	Grade    trend.Grade // of prices, differences and trends
	Another  *card.Another
	Moved    []card.Moved // that differ from the earlier openings
	Compared int          // measures compared with them
	Words    []roundup.WordChange
	OffTrend *trend.Flag
	Place    *card.Place
	Changes  []drift.Entry
	Slip     *check.Suggestion
	Doubt    *dataset.Problem // a reading that looks like a slip without one that was meant
	Missing  []string         // columns
	Why      string           // what they would have told: one of the Why constants
	weight   float64
}

// What a measure that is missing would have told.
const (
	WhyPrice   = "price"   // whether the price is right
	WhyChange  = "change"  // whether the maker's change goes on
	WhyEarlier = "earlier" // whether the part is as it was
	WhyPlace   = "place"   // where it stands
)

// Options say which openings are told; the zero value takes those of the log's
// last date.
type Options struct {
	Since float64 // decimal year: those of this date and later; 0 = not asked for
	Rows  int     // the last rows of the log as they stand there; 0 = not asked for
}

// NoneError says that no opening is of the date asked for or later.
type NoneError struct{ Last string }

func (e *NoneError) Error() string {
	if e.Last == "" {
		return "no opening of the log has a date"
	}
	return fmt.Sprintf("no opening is so late; the last one is of %s", e.Last)
}

// Build tells the latest openings of a log. Errors: *NoneError, those of the
// analyses.
func Build(b *card.Basis, o Options) (*Latest, error) {
	l := &Latest{Rows: b.Log.Rows(), Products: b.Log.Products()}
	rows, err := l.choose(b.Log, o)
	if err != nil {
		return nil, err
	}
	for _, row := range rows {
		told, err := tell(b, row)
		if err != nil {
			return nil, err
		}
		l.Openings = append(l.Openings, told)
	}
	return l, nil
}

// choose finds the openings to tell, in order of time.
func (l *Latest) choose(log *dataset.Log, o Options) ([]int, error) {
	opened := log.Floats("opened")
	last := math.Inf(-1)
	at := -1
	for row, when := range opened {
		if when > last {
			last, at = when, row
		}
	}
	l.Dated = at >= 0
	from := last
	n := log.Rows()
	switch {
	case o.Rows > 0:
		var rows []int
		for row := max(0, n-o.Rows); row < n; row++ {
			rows = append(rows, row)
		}
		return rows, nil
	case o.Since > 0 && !(last >= o.Since):
		e := &NoneError{}
		if l.Dated {
			e.Last = log.OpenedText(at)
		}
		return nil, e
	case o.Since > 0:
		from = o.Since
	case !l.Dated:
		return []int{n - 1}, nil
	default:
		l.Of = log.OpenedText(at)
		if !(opened[n-1] >= last) {
			l.NotTold = log.Line(n - 1)
		}
	}
	var rows []int
	for row, when := range opened {
		if when >= from {
			rows = append(rows, row)
		}
	}
	slices.SortStableFunc(rows, func(a, b int) int { return cmp.Compare(opened[a], opened[b]) })
	return rows, nil
}
