package dataset

import (
	"fmt"
	"math"
	"slices"

	"github.com/go-gota/gota/dataframe"
	"github.com/go-gota/gota/series"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cells"
)

// always lists the columns that every frame has, in order.
var always = []string{"row", "line", "product", "maker", "part", "opened", "opened_precision"}

// Names returns the columns of the frame in their order: those of every frame,
// the recorded columns in canonical order, the derived measures, and the user's
// own columns.
func (l *Log) Names() []string {
	names := slices.Clone(always)
	for d := range catalogue.Recorded() {
		if l.byName[d.Name] != nil && !slices.Contains(names, d.Name) && !l.isDerived(d.Name) {
			names = append(names, d.Name)
		}
	}
	for _, c := range l.derived {
		names = append(names, c.Name)
	}
	for _, c := range l.columns {
		if !c.Known {
			names = append(names, c.Name)
		}
	}
	return names
}

func (l *Log) isDerived(name string) bool {
	return slices.ContainsFunc(l.derived, func(c *cells.Column) bool { return c.Name == name })
}

// Frame returns the named columns of the log as a data frame, or all of Names
// if no name is given. Each row is one opening, in the order of the file.
// Numbers are in base units, NaN if missing; missing texts are "". The columns
// are:
//
//	row, line, product   int: index of the opening from 0, its line in the
//	                     file, index of its product from 0
//	maker, part          text
//	opened               decimal year: the middle of the day, month or year
//	opened_precision     day, month, year or ""
//	and the other columns of Names
//
// price is the price of one filter in the main currency of the log. The frame
// also holds physically impossible readings. Frame returns an error for a name
// that is not in Names.
func (l *Log) Frame(names ...string) (dataframe.DataFrame, error) {
	all := l.Names()
	if len(names) == 0 {
		names = all
	}
	var out []series.Series
	for _, name := range names {
		if !slices.Contains(all, name) {
			return dataframe.DataFrame{}, fmt.Errorf("no column %q in the log", name)
		}
		out = append(out, l.series(name))
	}
	frame := dataframe.New(out...)
	return frame, frame.Err
}

func (l *Log) series(name string) series.Series {
	n := len(l.lines)
	ints := func(at func(int) int) series.Series {
		v := make([]int, n)
		for i := range v {
			v[i] = at(i)
		}
		return series.New(v, series.Int, name)
	}
	switch name {
	case "row":
		return ints(func(i int) int { return i })
	case "line":
		return ints(func(i int) int { return int(l.lines[i]) })
	case "product":
		return ints(func(i int) int { return int(l.product[i]) })
	case "opened":
		if c := l.byName[name]; c != nil {
			return series.New(c.Values(), series.Float, name)
		}
		missing := make([]float64, n)
		for i := range missing {
			missing[i] = math.NaN()
		}
		return series.New(missing, series.Float, name)
	case "opened_precision":
		v := make([]string, n)
		for i := range v {
			v[i] = l.Precision(i)
		}
		return series.New(v, series.String, name)
	}
	c := l.find(name)
	if c.Class == cells.Texts {
		// Subset copies strings from the list of distinct words without boxing
		// each cell.
		codes := make([]int, n)
		for i, code := range c.Codes {
			codes[i] = int(code)
		}
		s := series.New(c.Words.List, series.String, name).Subset(codes)
		s.Name = name
		return s
	}
	return series.New(c.Values(), series.Float, name)
}
