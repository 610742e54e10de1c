package trend

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
)

// UnknownColumnError reports that a trend names a column that is neither in the
// log nor a known measure.
type UnknownColumnError struct {
	Name string
	Have []string // numeric columns the log has
}

func (e *UnknownColumnError) Error() string {
	return fmt.Sprintf("no column %q in the log; its numeric columns are %s", e.Name, strings.Join(e.Have, ", "))
}

// NotNumericError reports that a trend names a column of text.
type NotNumericError struct{ Name string }

func (e *NotNumericError) Error() string {
	return fmt.Sprintf("column %q holds words, not numbers; a line needs numbers on both axes", e.Name)
}

// inputs holds the columns a trend is collected from, one value per opening.
type inputs struct {
	log     *dataset.Log
	def     Definition
	y, x    []float64
	lacking []float64 // openings with a value here are left out; nil where none are
	implied []float64 // implied gauges, mm; nil unless the response is can gauge
	unlike  []bool    // openings whose can is not steel; nil where the material does not matter
}

// Collect gathers the points of a trend in order of first appearance: one per
// product (openings averaged on the scale of the fit) or one per opening. It also
// counts, by reason, the openings that cannot be used. Errors:
// *UnknownColumnError, *NotNumericError.
func Collect(log *dataset.Log, def Definition, perOpening bool) ([]Point, []LeftOut, error) {
	in := inputs{log: log, def: def}
	for _, side := range []struct {
		name string
		to   *[]float64
	}{{def.Response, &in.y}, {def.Predictor, &in.x}} {
		if !slices.Contains(log.Names(), side.name) {
			if _, known := catalogue.LookUp(side.name); !known {
				return nil, nil, &UnknownColumnError{Name: side.name, Have: numeric(log)}
			}
			return nil, []LeftOut{{Reason: "the log has no " + catalogue.Words(side.name), Rows: log.Rows()}}, nil
		}
		var err error
		if *side.to, err = numbers(log, side.name); err != nil {
			return nil, nil, err
		}
	}
	if def.Lacking != "" {
		in.lacking = log.Floats(def.Lacking) // nil where the log has no such column
	}
	if def.Response == canGauge {
		in.implied = log.Floats(impliedGauge)
		in.leaveOutUnlike()
	}
	return in.average(in.rows(perOpening), perOpening), in.countLeftOut(), nil
}

// numbers returns a column of the log, or one of the counters row, line and
// product, as numbers.
func numbers(log *dataset.Log, name string) ([]float64, error) {
	if v := log.Floats(name); v != nil {
		return v, nil
	}
	count := map[string]func(row int) int{"row": func(row int) int { return row }, "line": log.Line, "product": log.Product}[name]
	if count == nil {
		return nil, &NotNumericError{Name: name}
	}
	v := make([]float64, log.Rows())
	for row := range v {
		v[row] = float64(count(row))
	}
	return v, nil
}

// rows returns the usable rows: in file order if every opening is a point,
// otherwise grouped by product (a counting sort on product numbers, which start
// at 0).
func (in *inputs) rows(perOpening bool) []int {
	takes := func(row int) bool {
		return in.def.Scale.usable(in.y[row]) && in.def.Scale.usable(in.x[row]) &&
			(in.lacking == nil || math.IsNaN(in.lacking[row]))
	}
	place := make([]int, in.log.Products()+1) // of the first row of each product
	total := 0
	for row := range in.y {
		if takes(row) {
			place[in.log.Product(row)+1]++
			total++
		}
	}
	for id := range in.log.Products() {
		place[id+1] += place[id]
	}
	rows := make([]int, total)
	next := 0
	for row := range in.y {
		if !takes(row) {
			continue
		}
		at := &next
		if !perOpening {
			at = &place[in.log.Product(row)]
		}
		rows[*at] = row
		*at++
	}
	return rows
}

// usable reports whether a value exists on the scale.
func (s Scale) usable(v float64) bool {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return false
	}
	return s != Log || v > 0
}

// on and off transform a value to the scale of the fit and back.
func (s Scale) on(v float64) float64 {
	if s == Log {
		return math.Log(v)
	}
	return v
}

func (s Scale) off(v float64) float64 {
	if s == Log {
		return math.Exp(v)
	}
	return v
}

// average turns rows, grouped by product, into points.
func (in *inputs) average(rows []int, perOpening bool) []Point {
	lines := make([]int, len(rows))
	for i, row := range rows {
		lines[i] = in.log.Line(row)
	}
	var points []Point
	for start := 0; start < len(rows); {
		end := start + 1
		for !perOpening && end < len(rows) && in.log.Product(rows[end]) == in.log.Product(rows[start]) {
			end++
		}
		var sx, sy float64
		for _, row := range rows[start:end] {
			sx += in.def.Scale.on(in.x[row])
			sy += in.def.Scale.on(in.y[row])
		}
		n := float64(end - start)
		name := in.log.NameOf(rows[start])
		points = append(points, Point{
			Maker: name.Maker, Part: name.Part,
			Lines: lines[start:end:end], N: end - start,
			X: in.def.Scale.off(sx / n), Y: in.def.Scale.off(sy / n), Implied: in.impliedBy(rows[start:end]),
			Kept: true,
		})
		start = end
	}
	slices.SortStableFunc(points, func(a, b Point) int { return a.Lines[0] - b.Lines[0] })
	return points
}

// countLeftOut counts the openings that the trend cannot use, each under the
// first reason that applies.
func (in *inputs) countLeftOut() []LeftOut {
	var unlike, weighed, neither, noY, noX, notLog int
	for i, y := range in.y {
		x := in.x[i]
		switch {
		case in.unlike != nil && in.unlike[i]:
			unlike++
		case in.lacking != nil && !math.IsNaN(in.lacking[i]):
			weighed++
		case math.IsNaN(y) && math.IsNaN(x):
			neither++
		case math.IsNaN(y):
			noY++
		case math.IsNaN(x):
			noX++
		case !in.def.Scale.usable(y) || !in.def.Scale.usable(x):
			notLog++
		}
	}
	ofY, ofX := catalogue.Words(in.def.Response), catalogue.Words(in.def.Predictor)
	out := slices.DeleteFunc([]LeftOut{
		{Reason: "with a can of another material than steel", Rows: unlike},
		{Reason: "with " + catalogue.Words(in.def.Lacking) + " (see the trend on it)", Rows: weighed},
		{Reason: "neither " + ofY + " nor " + ofX, Rows: neither},
		{Reason: "no " + ofY, Rows: noY},
		{Reason: "no " + ofX, Rows: noX},
		{Reason: "zero or less, which has no logarithm", Rows: notLog},
	}, func(l LeftOut) bool { return l.Rows == 0 })
	slices.SortFunc(out, func(a, b LeftOut) int {
		if a.Rows != b.Rows {
			return b.Rows - a.Rows
		}
		return strings.Compare(a.Reason, b.Reason)
	})
	if len(out) == 0 {
		return nil
	}
	return out
}

// numeric lists the numeric columns of a log, without the date.
func numeric(log *dataset.Log) []string {
	return slices.DeleteFunc(log.Names(), func(name string) bool { return name == "opened" || log.Floats(name) == nil })
}
