package drift

import (
	"cmp"
	"math"
	"slices"
	"sync"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/num"
)

// openings are the dated openings of a log, sorted by maker and part, then by
// date.
type openings struct {
	rows   []int     // row of the log
	when   []float64 // decimal year
	coded  []bool    // the date is from the date code
	makers []maker   // sorted by name
	origin float64   // decimal year from which the fits measure time
	log    *dataset.Log
	// typical returns the median of each column that a measure is computed from;
	// computed once, since several measures and goroutines share it.
	typical map[string]func() float64
	// sizes returns the logarithms of the columns that measure a part's size, one
	// value per opening; NaN where it is missing, nil where the log has no such
	// column.
	sizes map[string]func() []float64
}

// gather returns the values of a column, one per opening; nil where the log does
// not have it.
func (o *openings) gather(column string) []float64 {
	values := o.log.Floats(column)
	if values == nil {
		return nil
	}
	out := make([]float64, len(o.rows))
	for i, row := range o.rows {
		out[i] = values[row]
	}
	return out
}

// logSizes is gather on a logarithmic scale.
func (o *openings) logSizes(column string) []float64 {
	sizes := o.gather(column)
	for i, v := range sizes {
		if sizes[i] = math.NaN(); v > 0 && !math.IsInf(v, 0) {
			sizes[i] = math.Log(v)
		}
	}
	return sizes
}

// line returns the line of the file that records an opening.
func (o *openings) line(at int32) int { return o.log.Line(o.rows[at]) }

// sameDay reports whether two openings of one part were made on the same known
// day, or have the same date from their date codes.
func (o *openings) sameDay(a, b int32) bool {
	known := func(i int32) bool { return o.coded[i] || o.log.Precision(o.rows[i]) == "day" }
	return o.when[a] == o.when[b] && known(a) && known(b)
}

// maker holds the products of one maker.
type maker struct {
	name     string
	products []span
	byCode   bool // its openings are dated by their date codes
}

// span is a range of openings.
type span struct{ from, to int }

// collect sorts the openings that have a date.
func collect(log *dataset.Log, d dates) *openings {
	o := &openings{log: log}
	o.rows = datedRows(log, d.when)
	o.when, o.coded = make([]float64, len(o.rows)), make([]bool, len(o.rows))
	byName := map[string]int{}
	for i, row := range o.rows {
		o.when[i], o.coded[i] = d.when[row], d.coded != nil && d.coded[row]
		if i > 0 && log.Label(row) == log.Label(o.rows[i-1]) {
			continue
		}
		name := log.Word(row, "maker")
		k, ok := byName[name]
		if !ok {
			k = len(o.makers)
			byName[name] = k
			o.makers = append(o.makers, maker{name: name, byCode: d.makers[name]})
		}
		p := span{from: i, to: i + 1}
		for p.to < len(o.rows) && log.Label(o.rows[p.to]) == log.Label(row) {
			p.to++
		}
		o.makers[k].products = append(o.makers[k].products, p)
	}
	if len(o.when) > 0 {
		o.origin = math.Floor(slices.Min(o.when))
	}
	o.makers = slices.DeleteFunc(o.makers, func(m maker) bool { return m.name == "" })
	slices.SortFunc(o.makers, func(a, b maker) int { return cmp.Compare(a.name, b.name) })
	o.typical, o.sizes = map[string]func() float64{}, map[string]func() []float64{}
	for _, m := range followed {
		for _, name := range m.sizes {
			o.sizes[name] = sync.OnceValue(func() []float64 { return o.logSizes(name) })
		}
		for _, name := range m.columns() {
			o.typical[name] = sync.OnceValue(func() float64 { return medianOf(log.Floats(name)) })
		}
	}
	return o
}

// datedRows lists the rows with a date, by maker and part, then by date: a
// counting sort on label numbers, which start at 0, then a stable sort by date
// within each label.
func datedRows(log *dataset.Log, when []float64) []int {
	end := make([]int, log.Labels()+1)
	total := 0
	for row, at := range when {
		if !math.IsNaN(at) {
			end[log.Label(row)+1]++
			total++
		}
	}
	for id := range log.Labels() {
		end[id+1] += end[id]
	}
	rows := make([]int, total)
	for row, at := range when {
		if !math.IsNaN(at) {
			id := log.Label(row)
			rows[end[id]] = row
			end[id]++
		}
	}
	from := 0
	for _, to := range end[:log.Labels()] {
		slices.SortStableFunc(rows[from:to], func(a, b int) int { return cmp.Compare(when[a], when[b]) })
		from = to
	}
	return rows
}

// names lists the makers with dated openings.
func (o *openings) names() []string {
	names := make([]string, len(o.makers))
	for i, m := range o.makers {
		names[i] = m.name
	}
	return names
}

// block holds the openings of one part in which a measure was taken.
type block struct {
	part string
	at   []int32 // openings
	// series holds the values on the scale of the fit. Openings of one day are
	// averaged and count once: bought and cut together they are one piece of
	// evidence about that time, however many they are.
	series num.Series
}

// blocks returns the parts of one maker in which a measure was taken; values
// holds the measure, one value per opening.
func (o *openings) blocks(m maker, values []float64, s scale) []block {
	var out []block
	for _, p := range m.products {
		takes := func(i int) bool {
			v := values[i]
			return !math.IsNaN(v) && !math.IsInf(v, 0) && (s == absolute || v > 0)
		}
		n := 0
		for i := p.from; i < p.to; i++ {
			if takes(i) {
				n++
			}
		}
		if n == 0 {
			continue
		}
		b := block{part: o.log.Word(o.rows[p.from], "part"), at: make([]int32, 0, n)}
		b.series = num.Series{T: make([]float64, 0, n), Y: make([]float64, 0, n)}
		for i := p.from; i < p.to; i++ {
			if takes(i) {
				b.at = append(b.at, int32(i))
			}
		}
		for k := 0; k < len(b.at); {
			sum, n := 0.0, 0
			for first := b.at[k]; k < len(b.at) && (n == 0 || o.sameDay(first, b.at[k])); k++ {
				sum += s.on(values[b.at[k]])
				n++
			}
			b.series.T = append(b.series.T, o.when[b.at[k-1]]-o.origin)
			b.series.Y = append(b.series.Y, sum/float64(n))
		}
		out = append(out, b)
	}
	return out
}

// on transforms a value to the scale of the fit.
func (s scale) on(v float64) float64 {
	if s == absolute {
		return v
	}
	return math.Log(v)
}

// repeated reports whether the part was opened at different times.
func (b block) repeated() bool {
	return slices.Min(b.series.T) != slices.Max(b.series.T)
}

// toTime converts a decimal year to a day.
func toTime(year float64) time.Time {
	whole := math.Floor(year)
	start := time.Date(int(whole), time.January, 1, 0, 0, 0, 0, time.UTC)
	length := start.AddDate(1, 0, 0).Sub(start)
	return start.Add(time.Duration((year - whole) * float64(length))).Truncate(24 * time.Hour)
}

// Year converts a time to a decimal year.
func Year(t time.Time) float64 {
	t = t.UTC()
	start := time.Date(t.Year(), time.January, 1, 0, 0, 0, 0, time.UTC)
	return float64(t.Year()) + float64(t.Sub(start))/float64(start.AddDate(1, 0, 0).Sub(start))
}
