// Package latest reports what the newest openings of a log showed: each compared
// with the usual price, its own earlier openings, what its size predicts and the
// other parts, the most newsworthy first.
//
// It computes no findings of its own: it orders those collected by package card.
// Results are data in base units and the log's currency; the package prints and
// draws nothing.
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

// MostNews is the largest number of news items per opening.
const MostNews = 8

// Latest is what some openings showed.
type Latest struct {
	Rows     int // rows of the log
	Products int
	Of       string // the last date, where its openings are reported; "" otherwise
	Openings []Opening
	Dated    bool // the log has dates
	// OmittedLine is the line of the log's last row if it is not among the openings of
	// the last date; 0 otherwise.
	OmittedLine int
}

// Opening is one opening with its news.
type Opening struct {
	Maker    string        `json:"maker"`
	Part     string        `json:"part"`
	Line     int           `json:"line"`
	Opened   string        `json:"opened" null:"zero"`   // ISO 8601 at the precision logged; "" without a date
	Before   int           `json:"openings_before"`      // earlier openings of this part
	First    First         `json:"first_of" null:"zero"` // what it is the first of
	Verdict  price.Verdict `json:"verdict"`
	Measures []string      // key measures with a value
	Values   []float64     // their values, base units
	News     []News        // most newsworthy first
	Card     *card.Part    // of the part
}

// First is what an opening is the first of.
type First string

const (
	OfLog   First = "log"
	OfMaker First = "maker"
	OfPart  First = "part"
	Again   First = "" // the part was opened before
)

// Kind is what a news item is about.
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

// News is one news item. Only the fields of its kind are set.
type News struct {
	Kind     Kind
	Grade    trend.Grade // for prices, differences and trends
	Another  *card.AnotherFilter
	Moved    []card.Moved // measures that differ from the earlier openings
	Compared int          // number of measures compared
	Words    []roundup.WordChange
	OffTrend *trend.Flag
	Place    *card.Place
	Changes  []drift.Entry
	Slip     *check.Suggestion
	Doubt    *dataset.Problem // a doubtful reading without a suggested correction
	Missing  []string         // columns not measured
	Why      string           // what they would have shown: one of the Why constants
	weight   float64
}

// What a missing measure would have shown.
const (
	WhyPrice   = "price"   // whether the price is right
	WhyChange  = "change"  // whether the maker's change goes on
	WhyEarlier = "earlier" // whether the part is unchanged
	WhyPlace   = "place"   // its place in the rankings
)

// Options select the openings to report; the zero value selects those of the
// log's last date.
type Options struct {
	Since float64 // decimal year: openings from this date on; 0 = not set
	Rows  int     // the last rows of the log, in file order; 0 = not set
}

// NoneError reports that no opening is of the requested date or later.
type NoneError struct{ Last string }

func (e *NoneError) Error() string {
	if e.Last == "" {
		return "no opening of the log has a date"
	}
	return fmt.Sprintf("no opening is so late; the last one is of %s", e.Last)
}

// Build reports the latest openings of a log. Errors: *NoneError, those of the
// analyses.
func Build(b *card.Basis, o Options) (*Latest, error) {
	l := &Latest{Rows: b.Log.Rows(), Products: b.Log.Products()}
	rows, err := l.choose(b.Log, o)
	if err != nil {
		return nil, err
	}
	for _, row := range rows {
		opening, err := openingNews(b, row)
		if err != nil {
			return nil, err
		}
		l.Openings = append(l.Openings, opening)
	}
	return l, nil
}

// choose returns the rows to report: the last rows in file order, others by date.
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
			l.OmittedLine = log.Line(n - 1)
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
