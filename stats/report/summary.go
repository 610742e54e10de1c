package report

import (
	"math"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/trend"
)

// summarise counts what the log holds and what the trends use of it.
func summarise(log *dataset.Log, trends []*trend.Trend) Summary {
	frame := log.Frame()
	s := Summary{File: log.File(), Rows: log.Rows(), Units: log.Units().System()}

	makers, products := map[string]bool{}, map[int]bool{}
	for _, m := range frame.Col("maker").Records() {
		if m != "" {
			makers[m] = true
		}
	}
	if ids, err := frame.Col("product").Int(); err == nil {
		for _, id := range ids {
			products[id] = true
		}
	}
	s.Makers, s.Parts = len(makers), len(products)

	used := map[int]bool{}
	for _, t := range trends {
		for _, p := range t.Points {
			for _, line := range p.Lines {
				used[line] = true
			}
		}
	}
	s.Used = len(used)
	s.FirstOpened, s.LastOpened = span(log)
	return s
}

// span finds the first and last date of the log, each at the precision it was
// logged with.
func span(log *dataset.Log) (first, last string) {
	early, late := math.Inf(1), math.Inf(-1)
	for row := range log.Rows() {
		when, precision, ok := log.Opened(row)
		if !ok {
			continue
		}
		at := float64(when.Unix())
		if at < early {
			early, first = at, isoDate(when, precision)
		}
		if at > late {
			late, last = at, isoDate(when, precision)
		}
	}
	return first, last
}

// isoDate writes a date at the precision it is known to.
func isoDate(when time.Time, precision string) string {
	switch precision {
	case "year":
		return when.Format("2006")
	case "month":
		return when.Format("2006-01")
	}
	return when.Format("2006-01-02")
}
