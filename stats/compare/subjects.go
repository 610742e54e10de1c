package compare

import (
	"math"
	"slices"
	"strconv"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/drift"
	"pleatstat/stats/num"
	"pleatstat/stats/panel"
	"pleatstat/stats/price"
)

// subject is one side of a comparison. Its units are the openings of a part or,
// for a maker, its parts.
type subject struct {
	Product
	units [][]int // rows of the log: one per opening, or all of a part
	fixed bool    // openings of one time: changes leave none out
}

// ledger is the log prepared for a comparison.
type ledger struct {
	log     *dataset.Log
	opened  []float64 // decimal year, NaN without a date
	parts   [][]int   // rows of each maker and part, by date
	changes []drift.Entry
	latest  float64 // date of the last opening, NaN without dates
	rise    float64 // of log prices a year; used only where prices is nil
	prices  *price.Model
	doubted []dataset.CellRef
	whole   *dataset.Log // the log including the doubted readings
}

func newLedger(log *dataset.Log, changes []drift.Entry, prices *price.Model) *ledger {
	l := &ledger{log: log, opened: log.Floats("opened"), parts: make([][]int, log.Labels()), changes: changes, latest: math.NaN()}
	if l.opened == nil {
		l.opened = make([]float64, log.Rows())
		for i := range l.opened {
			l.opened[i] = math.NaN()
		}
	}
	for row := range log.Rows() {
		l.parts[log.Label(row)] = append(l.parts[log.Label(row)], row)
		if !(l.opened[row] <= l.latest) && !math.IsNaN(l.opened[row]) {
			l.latest = l.opened[row]
		}
	}
	for _, rows := range l.parts {
		slices.SortStableFunc(rows, func(a, b int) int { return num.Compare(l.opened[a], l.opened[b]) })
	}
	if prices != nil && prices.Judges() {
		l.prices = prices
	} else {
		l.rise = panel.SuccessiveScatter(l.series(log.Floats("price"), true)).Rise
	}
	return l
}

// series returns the dated values of every part, as logarithms if relative.
func (l *ledger) series(values []float64, relative bool) []num.Series {
	out := make([]num.Series, len(l.parts))
	if values == nil {
		return out
	}
	for k, rows := range l.parts {
		for _, row := range rows {
			v := values[row]
			if relative {
				v = math.Log(v)
			}
			if !math.IsNaN(v) && !math.IsInf(v, 0) && !math.IsNaN(l.opened[row]) {
				out[k].T, out[k].Y = append(out[k].T, l.opened[row]), append(out[k].Y, v)
			}
		}
	}
	return out
}

// values returns a column; prices are in the money of the log's last opening.
func (l *ledger) values(column string) []float64 {
	values := l.log.Floats(column)
	if values == nil || l.rise == 0 && l.prices == nil || !slices.Contains(catalogue.Inputs(column), "price") {
		return values
	}
	values = slices.Clone(values)
	for row, at := range l.opened {
		switch {
		case l.prices != nil:
			values[row] *= l.prices.Carried(at)
		case !math.IsNaN(at):
			values[row] *= math.Exp(l.rise * (l.latest - at))
		}
	}
	return values
}

// moneyOf returns the decimal year to whose money prices are converted.
func (l *ledger) moneyOf() float64 {
	switch {
	case l.prices != nil:
		return l.prices.MoneyOf()
	case l.rise == 0:
		return math.NaN()
	}
	return l.latest
}

// recent is the time in years before a part's last opening within which its
// openings count for a measure that its maker keeps changing.
const recent = 1.0

// stepsOf returns the dates of the steps of a column in a part, ascending.
func (l *ledger) stepsOf(p dataset.Label, column string) []float64 {
	var out []float64
	for _, e := range l.changes {
		if e.Covers(p) && e.Moved() && e.Statement.Shape == drift.AsStep && e.Concerns(column) {
			out = append(out, drift.Year(e.Statement.From))
		}
	}
	slices.Sort(out)
	return out
}

// moving returns the relative change of a column of a subject between the
// openings that count and the log's last opening, extrapolated from its maker's
// slope; 0 where the maker does not keep changing it.
func (l *ledger) moving(s subject, column string, units [][]int) float64 {
	if s.fixed {
		return 0
	}
	for _, e := range l.changes {
		if e.Maker != s.Maker || e.Part != "" || !e.Moved() || e.Statement.Shape == drift.AsStep || !e.Concerns(column) {
			continue
		}
		share := e.Statement.By
		if typical := num.Median(num.Finite(l.log.Floats(e.Measure))); !e.Relative && typical > 0 {
			share /= typical
		}
		when, n := 0.0, 0.0
		for _, row := range slices.Concat(units...) {
			if !math.IsNaN(l.opened[row]) {
				when, n = when+l.opened[row], n+1
			}
		}
		if n > 0 {
			return share * (l.latest - when/n)
		}
	}
	return 0
}

// today returns the units of a subject that show a column as it is made today;
// stale where all are from before a change.
func (l *ledger) today(s subject, column string, values []float64) (units [][]int, stale bool) {
	for _, rows := range s.units {
		if known := slices.DeleteFunc(slices.Clone(rows), func(row int) bool { return math.IsNaN(values[row]) }); len(known) > 0 {
			units = append(units, known)
		}
	}
	if s.fixed || len(units) == 0 {
		return units, false
	}
	last := map[int]float64{} // date of the last opening of each part
	for _, rows := range units {
		for _, row := range rows {
			if at, seen := last[l.log.Label(row)]; !seen || !(l.opened[row] <= at) {
				last[l.log.Label(row)] = l.opened[row]
			}
		}
	}
	var now [][]int
	for _, rows := range units {
		kept := slices.DeleteFunc(slices.Clone(rows), func(row int) bool {
			of := dataset.Label{Maker: s.Maker, Part: l.log.Word(row, "part")}
			since := drift.Since(l.changes, of, column, last[l.log.Label(row)]-recent)
			return !math.IsInf(since, -1) && !(l.opened[row] >= since)
		})
		if len(kept) > 0 {
			now = append(now, kept)
		}
	}
	if len(now) == 0 {
		return units, true
	}
	return now, false
}

// changesOf lists the changes of a maker in a part, with the part's own readings.
func (l *ledger) changesOf(place int, s subject) []Change {
	var out []Change
	for _, e := range l.changes {
		if e.Maker != s.Maker || e.Part != "" || !e.Moved() || s.fixed {
			continue
		}
		c := Change{Place: place, Measure: e.Measure, Verdict: e.Verdict, Shape: e.Statement.Shape, From: e.Statement.From, Of: e}
		values := l.values(e.Measure)
		now, stale := l.today(s, e.Measure, values)
		if len(now) == 0 {
			continue
		}
		counts := map[int]bool{}
		for _, rows := range now {
			for _, row := range rows {
				counts[row] = !stale
			}
		}
		var then, after []float64
		for _, rows := range s.units {
			for _, row := range rows {
				switch v := values[row]; {
				case math.IsNaN(v):
				case counts[row]:
					after = append(after, v)
				case e.Statement.From.IsZero() || l.opened[row] < drift.Year(e.Statement.From):
					then = append(then, v)
				}
			}
		}
		c.Then, c.Now, c.NThen, c.NNow = mean(then), mean(after), len(then), len(after)
		out = append(out, c)
	}
	return out
}

func mean(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	return num.Mean(x)
}

// ofYear returns the dated rows of one year.
func (l *ledger) ofYear(rows []int, year int) []int {
	var out []int
	for _, row := range rows {
		if when, _, ok := l.log.Opened(row); ok && when.Year() == year {
			out = append(out, row)
		}
	}
	return out
}

// years returns the years with openings among some rows, ascending.
func (l *ledger) years(rows []int) []int {
	var out []int
	for _, row := range rows {
		if when, _, ok := l.log.Opened(row); ok {
			out = append(out, when.Year())
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// timed returns a part as a subject with the openings of one year.
func (l *ledger) timed(maker, part string, rows []int, year int) subject {
	s := subject{Product: Product{Maker: maker, Part: part, When: strconv.Itoa(year)}, fixed: true}
	s.take(l.log, l.ofYear(rows, year))
	return s
}

// take makes each row a unit.
func (s *subject) take(log *dataset.Log, rows []int) {
	for _, row := range rows {
		s.units = append(s.units, []int{row})
	}
	s.note(log)
}

// doubtsOf lists the readings of a subject that do not count.
func (l *ledger) doubtsOf(place int, s subject) []Doubt {
	rows := s.rows()
	var out []Doubt
	for _, cell := range l.doubted {
		values := l.whole.Floats(cell.Column)
		if slices.Contains(rows, cell.Row) && values != nil && !math.IsNaN(values[cell.Row]) {
			out = append(out, Doubt{Place: place, Column: cell.Column, Line: l.log.Line(cell.Row), Value: values[cell.Row]})
		}
	}
	return out
}

// note counts the parts and openings and collects their lines.
func (s *subject) note(log *dataset.Log) {
	parts := map[int]bool{}
	for _, rows := range s.units {
		s.Openings += len(rows)
		for _, row := range rows {
			parts[log.Label(row)] = true
			s.Lines = append(s.Lines, log.Line(row))
		}
	}
	s.Parts = len(parts)
	slices.Sort(s.Lines)
}

// rows returns the rows of all units.
func (s subject) rows() []int { return slices.Concat(s.units...) }
