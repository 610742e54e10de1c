package drift

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/go-gota/gota/dataframe"
	"github.com/go-gota/gota/series"

	"pleatstat/dataset"
	"pleatstat/stats"
)

// frameRows is the number of rows up to which the frame sorts the openings;
// above it its sort takes seconds, and plain slices are sorted instead.
const frameRows = 20_000

// openings are the dated openings of a log, by product and then by date.
type openings struct {
	rows    []int // of the log
	product []int
	opened  []float64 // decimal year
	day     []bool    // the date is known to the day
	makers  []maker   // by name
	origin  float64   // decimal year from which the fits count time
	log     *dataset.Log
	lines   []int
	parts   []string
}

// maker is the products of one maker.
type maker struct {
	name     string
	products []span
}

// span is a range of openings.
type span struct{ from, to int }

// collect orders the openings dated since a decimal year or later.
func collect(log *dataset.Log, since float64) (*openings, error) {
	frame, err := log.FrameOf("row", "line", "product", "maker", "part", "opened", "opened_precision")
	if err != nil {
		return nil, fmt.Errorf("collecting openings: %w", err)
	}
	if frame.Nrow() <= frameRows {
		dated := func(e series.Element) bool { return e.Float() >= since } // false for NaN
		frame = frame.Filter(dataframe.F{Colname: "opened", Comparator: series.CompFunc, Comparando: dated})
		if frame.Err == nil && frame.Nrow() > 0 {
			frame = frame.Arrange(dataframe.Sort("product"), dataframe.Sort("opened"))
		}
	}
	if frame.Err != nil {
		return nil, fmt.Errorf("ordering openings: %w", frame.Err)
	}
	rows, err := frame.Col("row").Int()
	if err != nil {
		return nil, fmt.Errorf("reading row numbers: %w", err)
	}
	lines, err := frame.Col("line").Int()
	if err != nil {
		return nil, fmt.Errorf("reading line numbers: %w", err)
	}
	product, err := frame.Col("product").Int()
	if err != nil {
		return nil, fmt.Errorf("reading product numbers: %w", err)
	}
	opened := frame.Col("opened").Float()
	order := make([]int, 0, len(rows))
	for i, at := range opened {
		if at >= since {
			order = append(order, i)
		}
	}
	if frame.Nrow() > frameRows {
		slices.SortStableFunc(order, func(a, b int) int {
			return cmp.Or(cmp.Compare(product[a], product[b]), cmp.Compare(opened[a], opened[b]))
		})
	}
	makers, parts, precision := frame.Col("maker"), frame.Col("part"), frame.Col("opened_precision")
	o := &openings{log: log}
	byName := map[string]int{}
	for _, at := range order {
		i := len(o.rows)
		o.rows = append(o.rows, rows[at])
		o.lines = append(o.lines, lines[at])
		o.product = append(o.product, product[at])
		o.opened = append(o.opened, opened[at])
		o.day = append(o.day, precision.Elem(at).String() == "day")
		if i > 0 && o.product[i] == o.product[i-1] {
			o.parts = append(o.parts, o.parts[i-1])
			continue
		}
		o.parts = append(o.parts, parts.Elem(at).String())
		name := makers.Elem(at).String()
		k, ok := byName[name]
		if !ok {
			k = len(o.makers)
			byName[name] = k
			o.makers = append(o.makers, maker{name: name})
		}
		o.makers[k].products = append(o.makers[k].products, span{from: i})
	}
	for k := range o.makers {
		for j := range o.makers[k].products {
			p := &o.makers[k].products[j]
			for p.to = p.from + 1; p.to < len(o.rows) && o.product[p.to] == o.product[p.from]; p.to++ {
			}
		}
	}
	if len(o.opened) > 0 {
		o.origin = math.Floor(slices.Min(o.opened))
	}
	o.makers = slices.DeleteFunc(o.makers, func(m maker) bool { return m.name == "" })
	slices.SortFunc(o.makers, func(a, b maker) int { return cmp.Compare(a.name, b.name) })
	return o, nil
}

// names lists the makers with dated openings.
func (o *openings) names() []string {
	names := make([]string, len(o.makers))
	for i, m := range o.makers {
		names[i] = m.name
	}
	return names
}

// block is the openings of one part in which a measure was taken.
type block struct {
	part  string
	at    []int     // openings
	value []float64 // base units
	// series holds them on the scale of the fit. Openings of one day count
	// once, by their mean: bought and cut together they are one piece of
	// evidence about that time, however many they are.
	series stats.Series
}

// blocks returns the parts of one maker in which the measure was taken, on the
// scale of the fit.
func (o *openings) blocks(m maker, values []float64, s scale) []block {
	var out []block
	for _, p := range m.products {
		var b block
		for i := p.from; i < p.to; i++ {
			if v := values[o.rows[i]]; !math.IsNaN(v) && !math.IsInf(v, 0) && (s == absolute || v > 0) {
				b.at, b.value = append(b.at, i), append(b.value, v)
			}
		}
		if b.at == nil {
			continue
		}
		b.part = o.parts[p.from]
		for k := 0; k < len(b.at); {
			sum, n := 0.0, 0
			for first := b.at[k]; k < len(b.at) && (n == 0 || o.day[first] && o.day[b.at[k]] && o.opened[b.at[k]] == o.opened[first]); k++ {
				sum += s.on(b.value[k])
				n++
			}
			b.series.T = append(b.series.T, o.opened[b.at[k-1]]-o.origin)
			b.series.Y = append(b.series.Y, sum/float64(n))
		}
		out = append(out, b)
	}
	return out
}

// on carries a value to the scale of the fit.
func (s scale) on(v float64) float64 {
	if s == absolute {
		return v
	}
	return math.Log(v)
}

// repeated says whether the part was opened at different times.
func (b block) repeated() bool {
	return slices.Min(b.series.T) != slices.Max(b.series.T)
}

// toTime turns a decimal year into a day.
func toTime(year float64) time.Time {
	whole := math.Floor(year)
	start := time.Date(int(whole), time.January, 1, 0, 0, 0, 0, time.UTC)
	length := start.AddDate(1, 0, 0).Sub(start)
	return start.Add(time.Duration((year - whole) * float64(length))).Truncate(24 * time.Hour)
}

// toYear turns a time into a decimal year.
func toYear(t time.Time) float64 {
	t = t.UTC()
	start := time.Date(t.Year(), time.January, 1, 0, 0, 0, 0, time.UTC)
	return float64(t.Year()) + float64(t.Sub(start))/float64(start.AddDate(1, 0, 0).Sub(start))
}
