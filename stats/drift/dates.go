package drift

import (
	"math"

	"pleatstat/dataset"
)

// mostCoded is the share of a maker's openings whose date codes must read as a
// date for its filters to be dated by them: with fewer, two kinds of date would be
// mixed, years apart where a filter lay in a shop.
const mostCoded = 0.9

// Columns an entry is dated by.
const (
	byOpening = "opened"
	byCode    = "date_code"
)

// dates say when each opening counts, one a row.
type dates struct {
	when   []float64       // decimal year; NaN where it takes no part
	coded  []bool          // the date is that of the code; nil = none
	makers map[string]bool // makers dated by their codes
}

// openingDates are the days of opening since a decimal year.
func openingDates(log *dataset.Log, since float64) dates {
	d := dates{when: log.Floats("opened")}
	if d.when == nil {
		d.when = make([]float64, log.Rows())
		for row := range d.when {
			d.when[row] = math.NaN()
		}
	}
	for row, at := range d.when {
		if !(at >= since) {
			d.when[row] = math.NaN()
		}
	}
	return d
}

// madeDates are the dates on which the filters were made, of each maker whose
// codes say it of nearly all; the few others count from their opening. ok is false
// where that is no maker.
func madeDates(log *dataset.Log, opened dates, since float64) (d dates, ok bool) {
	made := log.Floats("made")
	if made == nil {
		return dates{}, false
	}
	all, coded := map[string]int{}, map[string]int{}
	takes := func(row int) bool { // an opening without a date may have a code
		return !math.IsNaN(opened.when[row]) || math.IsInf(since, -1) && !math.IsNaN(made[row])
	}
	for row := range made {
		if name := log.Word(row, "maker"); name != "" && takes(row) {
			all[name]++
			if !math.IsNaN(made[row]) {
				coded[name]++
			}
		}
	}
	d = dates{when: make([]float64, len(made)), coded: make([]bool, len(made)), makers: map[string]bool{}}
	for name, n := range all {
		d.makers[name] = float64(coded[name]) >= mostCoded*float64(n)
		ok = ok || d.makers[name]
	}
	for row := range made {
		d.when[row] = opened.when[row]
		if d.makers[log.Word(row, "maker")] && takes(row) && !math.IsNaN(made[row]) {
			d.when[row], d.coded[row] = made[row], true
		}
	}
	return d, ok
}
