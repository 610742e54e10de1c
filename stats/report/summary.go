package report

import (
	"math"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/trend"
)

// summarise counts what the log contains and what the trends use of it.
func summarise(log *dataset.Log, trends []*trend.Trend) Summary {
	s := Summary{File: log.File(), Rows: log.Rows(), Parts: log.Products(), Units: log.Units().System(), Columns: log.ColumnsRead()}

	makers := map[string]bool{}
	for row := range log.Rows() {
		if m := log.Word(row, "maker"); m != "" {
			makers[m] = true
		}
	}
	s.Makers = len(makers)

	used := make([]bool, log.Line(log.Rows()-1)+1) // by line of the file
	for _, t := range trends {
		for _, p := range t.Points {
			for _, line := range p.Lines {
				if !used[line] {
					used[line] = true
					s.Used++
				}
			}
		}
	}
	s.FirstOpened, s.LastOpened = span(log)
	return s
}

// span returns the first and last date of the log, each at the precision logged.
func span(log *dataset.Log) (first, last string) {
	early, late := -1, -1
	opened := log.Floats("opened")
	for row, at := range opened {
		if math.IsNaN(at) {
			continue
		}
		if early < 0 || at < opened[early] {
			early = row
		}
		if late < 0 || at > opened[late] {
			late = row
		}
	}
	if when, precision, ok := log.Opened(early); ok {
		first = isoDate(when, precision)
	}
	if when, precision, ok := log.Opened(late); ok {
		last = isoDate(when, precision)
	}
	return first, last
}

// isoDate formats a date at its precision.
func isoDate(when time.Time, precision string) string {
	switch precision {
	case "year":
		return when.Format("2006")
	case "month":
		return when.Format("2006-01")
	}
	return when.Format("2006-01-02")
}
