package drift

import (
	"math"

	"pleatstat/dataset"
)

// mostCoded is the share of a maker's openings whose date codes must be readable
// for the maker to be dated by them. With a smaller share two kinds of date would
// be mixed, which differ by years where a filter lay in a shop.
const mostCoded = 0.9

// Values of Entry.DatedBy.
const (
	byOpening = "opened"
	byCode    = "date_code"
)

// dates are the dates of the openings, one per row.
type dates struct {
	when   []float64       // decimal year; NaN where the opening is not used
	coded  []bool          // the date is from the date code; nil = none is
	makers map[string]bool // makers dated by their date codes
}

// openingDates returns the dates of opening from a decimal year on.
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

// madeDates returns the dates of manufacture for each maker with readable codes
// on nearly all openings; the maker's other openings keep the date of opening. ok
// is false where no maker has enough codes.
func madeDates(log *dataset.Log, opened dates, since float64) (d dates, ok bool) {
	made := log.Floats("made")
	if made == nil {
		return dates{}, false
	}
	all, coded := map[string]int{}, map[string]int{}
	takes := func(row int) bool { // an undated opening may have a code
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
