// Package dates answers "which dates of openings are probably wrong?": those in the
// future, decades before all others, before the part was made, or far out of order
// in a log that is otherwise in order of date.
//
// The first two are impossible, and such an opening counts as undated; the others
// are doubtful. A log is in order if only a few rows must be left out for its dates
// never to decrease (StrayShare). If another year would put a stray row in order,
// that year is suggested. A date known only to the month or the year is compared with
// today and with the date of manufacture by its most favourable day, and takes no
// part in the order.
package dates

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
	"time"

	"pleatstat/dataset"
)

const (
	// StrayShare is the largest share of rows out of order (but at least one row)
	// in a log that counts as kept in order of date.
	StrayShare = 0.02

	// StrayYears is how far out of order a row must be to be reported, in years. A
	// row a few weeks out of order was probably entered late.
	StrayYears = 0.25

	// fewestDates is the smallest number of dates whose order is examined.
	fewestDates = 8
)

// Doubt holds all that is wrong with the date of one row.
type Doubt struct {
	Row      int
	Message  string
	Aside    bool   // the date is impossible: the opening counts as undated
	Intended string // suggested text of the cell; "" = unknown
	Why      string // reason for Intended
}

// Doubts returns the doubtful and impossible dates, one entry per row. Openings
// after today are in the future; if today is zero, none are.
func Doubts(log *dataset.Log, today time.Time) []Doubt {
	c := check{log: log, opened: log.Floats("opened"), at: map[int]int{}}
	if c.opened == nil {
		return nil
	}
	now := math.Inf(1)
	if !today.IsZero() {
		now = decimalYear(today)
	}
	for i, at := range c.opened {
		if at-c.room(i) > now+1.5/365 { // allows a day for time zones
			c.doubt(i, "lies after today, "+today.Format(time.DateOnly)+"; the opening counts as undated").Aside = true
		}
	}
	for _, i := range longBefore(c.opened, now) {
		c.doubt(i, fmt.Sprintf("lies %d years and more before all others; the opening counts as undated", longGap)).Aside = true
	}
	c.madeLater()
	if math.IsInf(now, 1) { // take the last date of the log as today
		now = 0
		for _, at := range c.opened {
			if at > now { // false for NaN
				now = at
			}
		}
	}
	c.stray(now)
	return c.found
}

// check collects the doubts about the dates of a log.
type check struct {
	log    *dataset.Log
	opened []float64 // decimal year
	found  []Doubt
	at     map[int]int // by row: index into found
}

// doubt adds a message to the doubt of row i, creating it if there is none.
func (c *check) doubt(i int, message string) *Doubt {
	k, known := c.at[i]
	if known {
		c.found[k].Message += "; " + message
	} else {
		k = len(c.found)
		c.at[i], c.found = k, append(c.found, Doubt{Row: i, Message: message})
	}
	return &c.found[k]
}

// aside reports whether the date of row i is impossible.
func (c *check) aside(i int) bool {
	k, known := c.at[i]
	return known && c.found[k].Aside
}

const (
	// longGap is the gap, in years, that separates early dates as impossible:
	// nobody resumes a log after so long.
	longGap = 30

	// longBeforeShare is the largest share of dates (but at least one date) before
	// such a gap that count as entry errors, such as a mistyped century.
	longBeforeShare = 0.1
)

// longBefore returns the rows, ascending, whose dates lie decades before all others.
func longBefore(opened []float64, now float64) []int {
	var rows []int
	for i, at := range opened {
		if at <= now+1 { // also false for NaN
			rows = append(rows, i)
		}
	}
	slices.SortStableFunc(rows, func(a, b int) int { return cmp.Compare(opened[a], opened[b]) })
	few := max(1, int(longBeforeShare*float64(len(rows))))
	for k := min(few, len(rows)-2); k > 0; k-- { // at least two dates after the gap
		if opened[rows[k]]-opened[rows[k-1]] > longGap-1.5/365 { // allows for the shorter days of leap years in decimal years
			early := rows[:k]
			slices.Sort(early)
			return early
		}
	}
	return nil
}

// room returns by how much the date of row i may differ from its recorded decimal
// year, which is the middle of the month or year known, in years.
func (c *check) room(i int) float64 {
	switch c.log.Precision(i) {
	case "year":
		return 0.5
	case "month":
		return 1.0 / 24
	}
	return 0
}

func decimalYear(d time.Time) float64 {
	start := time.Date(d.Year(), 1, 1, 0, 0, 0, 0, time.UTC)
	end := time.Date(d.Year()+1, 1, 1, 0, 0, 0, 0, time.UTC)
	at := time.Date(d.Year(), d.Month(), d.Day(), 12, 0, 0, 0, time.UTC)
	return float64(d.Year()) + at.Sub(start).Hours()/end.Sub(start).Hours()
}

// madeLater reports openings before the date stamped on the part.
func (c *check) madeLater() {
	if c.log.Floats("made") == nil {
		return
	}
	for i, opened := range c.opened {
		if made, _, ok := c.log.Made(i); ok && opened+c.room(i)+dataset.MadeGrace < made {
			c.doubt(i, fmt.Sprintf("lies before the part was made (date code %s)", c.log.Word(i, "date_code")))
		}
	}
}

// stray reports rows far out of order in a log that is otherwise in order. Impossible
// dates do not count for the order, but their neighbours may suggest the intended
// date.
func (c *check) stray(now float64) {
	var rows, sound []int
	for i, at := range c.opened {
		if at == at && c.log.Precision(i) == "day" {
			rows = append(rows, i)
			if !c.aside(i) {
				sound = append(sound, i)
			}
		}
	}
	kept := inOrder(c.opened, sound)
	if out := len(sound) - len(kept); len(sound) < fewestDates || float64(out) > max(1, StrayShare*float64(len(sound))) {
		return
	}
	for k, place := range kept {
		kept[k] = sound[place]
	}
	for _, i := range rows {
		at := c.opened[i]
		after, found := slices.BinarySearch(kept, i)
		if found {
			continue
		}
		low, high := math.Inf(-1), now
		if after > 0 {
			low = c.opened[kept[after-1]]
		}
		if after < len(kept) {
			high = c.opened[kept[after]]
		}
		if at > low-StrayYears && at < high+StrayYears {
			continue
		}
		c.reportStray(i, at, low, high)
	}
}

func (c *check) reportStray(i int, at, low, high float64) {
	why := "the rows around it were opened " + span(low, high)
	cell, _ := c.log.Cell(i, "opened")
	year := strconv.Itoa(int(at))
	for y := int(math.Floor(max(low, high-2))); y <= int(high); y++ {
		moved := at + float64(y-int(at))
		if y != int(at) && moved >= low && moved <= high && strings.Count(cell.Text, year) == 1 {
			intended := strings.Replace(cell.Text, year, strconv.Itoa(y), 1)
			why += "; " + intended + " fits"
			d := c.doubt(i, why)
			d.Intended, d.Why = intended, why
			return
		}
	}
	c.doubt(i, why)
}

func span(low, high float64) string {
	a, b := monthOf(low), monthOf(high)
	switch {
	case math.IsInf(low, -1):
		return "in " + b + " or before"
	case a == b:
		return "in " + a
	}
	return "between " + a + " and " + b
}

func monthOf(year float64) string {
	if math.IsInf(year, 0) {
		return ""
	}
	whole := int(math.Floor(year))
	return time.Month(1+int((year-float64(whole))*12)).String() + " " + strconv.Itoa(whole)
}

// inOrder returns the indices into rows of a longest subsequence whose dates do not
// decrease, by patience sorting in O(n log n).
func inOrder(opened []float64, rows []int) []int {
	var tops []int // by length less 1: index of the last row of the subsequence that ends earliest
	before := make([]int, len(rows))
	for k, i := range rows {
		pile := sort.Search(len(tops), func(p int) bool { return opened[rows[tops[p]]] > opened[i] })
		before[k] = -1
		if pile > 0 {
			before[k] = tops[pile-1]
		}
		if pile == len(tops) {
			tops = append(tops, k)
		} else {
			tops[pile] = k
		}
	}
	if len(tops) == 0 {
		return nil
	}
	run := make([]int, len(tops))
	for p, k := len(tops)-1, tops[len(tops)-1]; p >= 0; p, k = p-1, before[k] {
		run[p] = k
	}
	return run
}
