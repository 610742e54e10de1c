package check

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
	// StrayShare: a log that is kept in order has few rows out of it; where
	// more stray, the log is simply not in order of date.
	StrayShare = 0.02

	// StrayYears is how far out of order a row has to be, in years: weeks late
	// is a row entered later.
	StrayYears = 0.25
)

// dates reports openings in the future, before the part was made, and far out
// of the order the log is kept in.
func dates(t *table, f *findings, today time.Time) {
	if t.opened == nil {
		return
	}
	now := math.Inf(1)
	if !today.IsZero() {
		now = decimalYear(today)
	}
	for i, at := range t.opened {
		if at-t.room(i) > now+1.5/365 { // a day's grace for time zones
			f.date(i, "lies after today, "+today.Format(time.DateOnly)+"; the opening counts as undated")
			f.aside(i, "opened")
		}
	}
	for _, i := range longBefore(t.opened, now) {
		f.date(i, fmt.Sprintf("lies %d years and more before all others; the opening counts as undated", longGap))
		f.aside(i, "opened")
	}
	madeLater(t, f)
	if math.IsInf(now, 1) { // the log ends with its last date
		now = 0
		for _, at := range t.opened {
			if at > now { // never for NaN
				now = at
			}
		}
	}
	stray(t, f, now)
}

const (
	// longGap: nobody keeps a log, stops for this many years, and goes on in it.
	longGap = 30

	// longBeforeShare of the dates may lie that far before the rest and still be
	// slips, such as a mistyped century.
	longBeforeShare = 0.1
)

// longBefore lists the rows whose dates lie decades before all others.
func longBefore(opened []float64, now float64) []int {
	var rows []int
	for i, at := range opened {
		if at <= now+1 { // also false for NaN
			rows = append(rows, i)
		}
	}
	slices.SortStableFunc(rows, func(a, b int) int { return cmp.Compare(opened[a], opened[b]) })
	few := max(1, int(longBeforeShare*float64(len(rows))))
	for k := min(few, len(rows)-2); k > 0; k-- { // at least two lie behind the gap
		if opened[rows[k]]-opened[rows[k-1]] > longGap-1.5/365 { // a leap year's days are shorter on this scale
			early := rows[:k]
			slices.Sort(early)
			return early
		}
	}
	return nil
}

// date reports what is wrong with the date of row i: once, whatever there is to say.
func (f *findings) date(i int, message string) {
	if k, told := f.dated[i]; told {
		f.problems[k].Message += "; " + message
		return
	}
	f.at(i, "opened", dataset.Doubtful, message)
	if f.dated == nil {
		f.dated = map[int]int{}
	}
	f.dated[i] = len(f.problems) - 1
}

// room is how far from its middle the date of row i can lie, in years.
func (t *table) room(i int) float64 {
	switch t.log.Precision(i) {
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
func madeLater(t *table, f *findings) {
	if t.log.Floats("made") == nil {
		return
	}
	for i, opened := range t.opened {
		if made, _, ok := t.log.Made(i); ok && opened+t.room(i)+dataset.MadeGrace < made {
			f.date(i, fmt.Sprintf("lies before the part was made (date code %s)", t.log.Word(i, "date_code")))
		}
	}
}

// stray reports rows far out of order in a log that is otherwise in order. A date
// that cannot be says nothing of its neighbours, but they may say what was meant.
func stray(t *table, f *findings, now float64) {
	var rows, sound []int
	for i, at := range t.opened {
		if at == at && t.log.Precision(i) == "day" {
			rows = append(rows, i)
			if !f.setAside[dataset.CellRef{Row: i, Column: "opened"}] {
				sound = append(sound, i)
			}
		}
	}
	kept := inOrder(t.opened, sound)
	if out := len(sound) - len(kept); len(sound) < enough || float64(out) > max(1, StrayShare*float64(len(sound))) {
		return
	}
	for k, place := range kept {
		kept[k] = sound[place]
	}
	for _, i := range rows {
		at := t.opened[i]
		after, found := slices.BinarySearch(kept, i)
		if found {
			continue
		}
		low, high := math.Inf(-1), now
		if after > 0 {
			low = t.opened[kept[after-1]]
		}
		if after < len(kept) {
			high = t.opened[kept[after]]
		}
		if at > low-StrayYears && at < high+StrayYears {
			continue
		}
		reportStray(t, f, i, at, low, high)
	}
}

func reportStray(t *table, f *findings, i int, at, low, high float64) {
	why := "the rows around it were opened " + span(low, high)
	cell, _ := t.log.Cell(i, "opened")
	year := strconv.Itoa(int(at))
	for y := int(math.Floor(max(low, high-2))); y <= int(high); y++ {
		moved := at + float64(y-int(at))
		if y != int(at) && moved >= low && moved <= high && strings.Count(cell.Text, year) == 1 {
			intended := strings.Replace(cell.Text, year, strconv.Itoa(y), 1)
			f.date(i, why+"; "+intended+" fits")
			f.suggest(i, "opened", intended, why+"; "+intended+" fits", DateSlip, false)
			return
		}
	}
	f.date(i, why)
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

// inOrder returns the places in rows of a longest run of rows whose dates do
// not go back, by patience sorting in O(n log n).
func inOrder(opened []float64, rows []int) []int {
	var tops []int // place of the last row of the best run of each length
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
