package trend

import (
	"math"
	"strings"
)

// Names are what a measure is called in a trend: in a table, in a sentence and on
// an axis; Counted is what there are more or fewer of, where it is a count. Units
// are left to the values beside it.
type Names struct{ Short, Noun, Axis, Counted string }

// named are the measures whose names are not just their columns' with spaces.
var named = map[string]Names{
	"price":          {Short: "price", Noun: "price", Axis: "price of one filter"},
	"media_area":     {Short: "media area", Noun: "media area", Axis: "media area, one face"},
	"can_gauge":      {Short: "can gauge", Noun: "can gauge", Axis: "can gauge, wall thickness"},
	"pleats":         {Short: "pleats", Noun: "pleat count", Axis: "number of pleats", Counted: "pleats"},
	"inlet_holes":    {Short: "inlet holes", Noun: "number of inlet holes", Axis: "number of inlet holes", Counted: "inlet holes"},
	"price_per_area": {Short: "price per area", Noun: "price per media area", Axis: "price per media area"},
	"price_per_100g": {Short: "price per mass", Noun: "price per mass", Axis: "price per mass"},
	"media_length":   {Short: "media length", Noun: "media length", Axis: "media length, stretched flat"},
	"beta_ratio":     {Short: "beta ratio", Noun: "claimed beta ratio", Axis: "claimed beta ratio"},
	"opened":         {Short: "date opened", Noun: "date", Axis: "date opened"},
}

// NamesOf returns the names of a column.
func NamesOf(column string) Names {
	if n, ok := named[column]; ok {
		return n
	}
	s := strings.TrimSpace(strings.ReplaceAll(column, "_", " "))
	return Names{Short: s, Noun: s, Axis: s}
}

// Words is a column's name as it is said: can_gauge is "can gauge".
func Words(column string) string { return NamesOf(column).Short }

// SpanForTwice is the factor a log has to span in the predictor for its slope to be
// told as what twice the predictor goes with; below it that lies far outside.
const SpanForTwice = 1.5

// steps are the factors told instead, the largest that lies inside the log.
var steps = []float64{1.25, 1.1, 1.05, 1.02}

// Factor is the factor of the predictor by which a slope on the logarithmic scale
// is told: twice, or a step that lies inside the log.
func (t *Trend) Factor() float64 {
	low, high := math.Inf(1), 0.0
	for _, p := range t.Points {
		low, high = math.Min(low, p.X), math.Max(high, p.X)
	}
	if high >= SpanForTwice*low {
		return 2
	}
	for _, f := range steps {
		if high >= f*low {
			return f
		}
	}
	return steps[len(steps)-1]
}
