package trend

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/go-gota/gota/dataframe"
	"github.com/go-gota/gota/series"

	"pleatstat/dataset"
)

// UnknownColumnError is returned where a trend names a column that is neither
// in the log nor a measure the tool knows.
type UnknownColumnError struct {
	Name string
	Have []string // numeric columns the log has
}

func (e *UnknownColumnError) Error() string {
	return fmt.Sprintf("no column %q in the log; its numeric columns are %s", e.Name, strings.Join(e.Have, ", "))
}

// NotNumericError is returned where a trend names a column of text.
type NotNumericError struct{ Name string }

func (e *NotNumericError) Error() string {
	return fmt.Sprintf("column %q holds words, not numbers; a line needs numbers on both axes", e.Name)
}

// collect gathers the points of a trend: one a product (openings averaged on
// the scale of the fit) or one an opening, in order of first appearance, and
// counts the openings that cannot take part, by reason.
func collect(log *dataset.Log, def Definition, perOpening bool) ([]Point, []LeftOut, error) {
	frame := log.Frame()
	have := map[string]series.Type{}
	for i, name := range frame.Names() {
		have[name] = frame.Types()[i]
	}
	for _, name := range []string{def.Response, def.Predictor} {
		kind, ok := have[name]
		if !ok {
			if _, known := dataset.LookUp(name); !known {
				return nil, nil, &UnknownColumnError{Name: name, Have: numeric(frame)}
			}
			return nil, []LeftOut{{Reason: "the log has no " + Words(name), Rows: log.Rows()}}, nil
		}
		if kind != series.Float && kind != series.Int {
			return nil, nil, &NotNumericError{Name: name}
		}
	}
	lacking := def.Lacking
	if _, ok := have[lacking]; !ok {
		lacking = ""
	}
	leftOut := countLeftOut(frame, def, lacking)

	usable := func(e series.Element) bool { return def.Scale.usable(e.Float()) }
	filters := []dataframe.F{
		{Colname: def.Response, Comparator: series.CompFunc, Comparando: usable},
		{Colname: def.Predictor, Comparator: series.CompFunc, Comparando: usable},
	}
	columns := []string{"line", "product", "maker", "part", def.Response}
	if def.Predictor != def.Response {
		columns = append(columns, def.Predictor)
	}
	if lacking != "" {
		blank := func(e series.Element) bool { return math.IsNaN(e.Float()) }
		filters = append(filters, dataframe.F{Colname: lacking, Comparator: series.CompFunc, Comparando: blank})
		if !slices.Contains(columns, lacking) {
			columns = append(columns, lacking)
		}
	}
	complete := frame.Select(columns).FilterAggregation(dataframe.And, filters...)
	if complete.Err == nil && !perOpening && complete.Nrow() > 0 {
		complete = complete.Arrange(dataframe.Sort("product")) // stable: openings stay in file order
	}
	if complete.Err != nil {
		return nil, nil, fmt.Errorf("selecting %s: %w", def.ID, complete.Err)
	}
	points, err := average(complete, def, perOpening)
	return points, leftOut, err
}

// usable says whether a value has a place on the scale.
func (s Scale) usable(v float64) bool {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return false
	}
	return s != Log || v > 0
}

// on and off carry a value to the scale of the fit and back.
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

// average turns complete rows, sorted by product, into points.
func average(rows dataframe.DataFrame, def Definition, perOpening bool) ([]Point, error) {
	lines, err := rows.Col("line").Int()
	if err != nil {
		return nil, fmt.Errorf("reading line numbers: %w", err)
	}
	products, err := rows.Col("product").Int()
	if err != nil {
		return nil, fmt.Errorf("reading product numbers: %w", err)
	}
	makers, parts := rows.Col("maker"), rows.Col("part")
	y, x := rows.Col(def.Response).Float(), rows.Col(def.Predictor).Float()

	var points []Point
	for start := 0; start < len(lines); {
		end := start + 1
		for !perOpening && end < len(lines) && products[end] == products[start] {
			end++
		}
		var sx, sy float64
		for i := start; i < end; i++ {
			sx += def.Scale.on(x[i])
			sy += def.Scale.on(y[i])
		}
		n := float64(end - start)
		points = append(points, Point{
			Maker: makers.Elem(start).String(), Part: parts.Elem(start).String(),
			Lines: slices.Clone(lines[start:end]), N: end - start,
			X: def.Scale.off(sx / n), Y: def.Scale.off(sy / n),
			Kept: true,
		})
		start = end
	}
	slices.SortStableFunc(points, func(a, b Point) int { return a.Lines[0] - b.Lines[0] })
	return points, nil
}

// countLeftOut counts the openings a trend cannot use, each under its first
// reason.
func countLeftOut(frame dataframe.DataFrame, def Definition, lacking string) []LeftOut {
	y, x := frame.Col(def.Response).Float(), frame.Col(def.Predictor).Float()
	var weighed []float64
	if lacking != "" {
		weighed = frame.Col(lacking).Float()
	}
	counts := map[string]int{}
	for i := range y {
		switch {
		case weighed != nil && !math.IsNaN(weighed[i]):
			counts[Words(lacking)+" was measured (see the trend on it)"]++
		case math.IsNaN(y[i]) && math.IsNaN(x[i]):
			counts["neither "+Words(def.Response)+" nor "+Words(def.Predictor)]++
		case math.IsNaN(y[i]):
			counts["no "+Words(def.Response)]++
		case math.IsNaN(x[i]):
			counts["no "+Words(def.Predictor)]++
		case !def.Scale.usable(y[i]) || !def.Scale.usable(x[i]):
			counts["zero or less, which has no logarithm"]++
		}
	}
	var out []LeftOut
	for reason, rows := range counts {
		out = append(out, LeftOut{Reason: reason, Rows: rows})
	}
	slices.SortFunc(out, func(a, b LeftOut) int {
		if a.Rows != b.Rows {
			return b.Rows - a.Rows
		}
		return strings.Compare(a.Reason, b.Reason)
	})
	return out
}

// Words is a column's name as it is said: can_gauge is "can gauge".
func Words(column string) string { return strings.ReplaceAll(column, "_", " ") }

// numeric lists the columns of a frame that hold numbers.
func numeric(frame dataframe.DataFrame) []string {
	var names []string
	for i, t := range frame.Types() {
		name := frame.Names()[i]
		if t == series.Float && name != "opened" {
			names = append(names, name)
		}
	}
	return names
}
