// Package coverage reports what a log covers: how full its columns are, which
// questions it can answer already, and which single additional column would let
// it answer more.
package coverage

import (
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/drift"
	"pleatstat/stats/report"
	"pleatstat/stats/trend"
)

// Column is one column of the log and how full it is.
type Column struct {
	dataset.ReadColumn
	Filled int // openings with a value
}

// OwnColumn is a column of the log that the tool does not know.
type OwnColumn struct {
	dataset.UnusedColumn
	Filled  int
	Numbers bool // the column is numeric, so that a trend can be fitted to it
}

// Question is a question that a log may answer.
type Question struct {
	ID       string   `json:"id"` // ID of a trend, or "drift", "compare", "roundup"
	Answered bool     `json:"answered"`
	Columns  []string `json:"columns"`            // recorded columns it needs
	Without  []string `json:"missing"`            // those of Columns that the log lacks
	Have     int      `json:"have"`               // products that have them all; for drift the most parts of one maker that were opened again
	Needed   int      `json:"needed" null:"zero"` // value of Have needed; 0 = not known
	More     int      // for drift: further openings needed, of parts of one maker opened before; 0 = not known
}

// OneMore is a column the log lacks and the questions that it alone would let the
// log answer.
type OneMore struct {
	Column    string   `json:"column"`
	Questions []string `json:"questions"`
	Rest      int      `json:"have_the_rest"` // products that have all other columns of the first of Questions
}

// Coverage is what a log covers.
type Coverage struct {
	Openings  int
	Columns   []Column
	Own       []OwnColumn
	Questions []Question
	OneMore   []OneMore // the column with most questions first
	Most      *Most     // nil for a log without numbers
}

// Most is the product with the largest mean of the measure that most products
// have: a true statement even about the first opening.
type Most struct {
	Column, Maker, Part string
	Value               float64 // base unit, mean of the product's openings
	Products            int     // number that have the measure
	Lines               []int   // of the product's openings
}

// Of reports what a log covers, given its findings.
func Of(log *dataset.Log, found *report.Findings) *Coverage {
	log = log.SetAside(found.SetAside)
	c := &Coverage{Openings: log.Rows()}
	read := log.ColumnsRead()
	for _, r := range read.Read {
		c.Columns = append(c.Columns, Column{r, log.Filled(r.Column)})
	}
	for _, u := range read.NotUsed {
		c.Own = append(c.Own, OwnColumn{u, log.Filled(u.Column), log.Floats(u.Column) != nil})
	}
	for _, t := range found.Trends {
		if t.Lacking == "" {
			c.Questions = append(c.Questions, trendQuestion(log, t))
		}
	}
	c.Questions = append(c.Questions, changes(log, found.Drift), comparison(log), yearly(log))
	c.OneMore = oneMore(log, c.Questions)
	c.Most = most(log, c)
	return c
}

// preferred are the measures to take for Most, best first.
var preferred = []string{"media_area", "can_gauge", "pleats", "total_mass", "media_mass", "can_mass", "price"}

func most(log *dataset.Log, c *Coverage) *Most {
	columns := slices.Clone(preferred)
	for _, r := range c.Columns {
		if def, ok := catalogue.LookUp(r.Column); ok && def.Kind != catalogue.KindDate && !slices.Contains(columns, r.Column) && log.Floats(r.Column) != nil {
			columns = append(columns, r.Column)
		}
	}
	for _, o := range c.Own {
		if o.Numbers {
			columns = append(columns, o.Column)
		}
	}
	best, n := "", 0
	for _, name := range columns {
		if have := products(log, name); have > n {
			best, n = name, have
		}
	}
	if n == 0 {
		return nil
	}
	type mean struct {
		sum   float64
		lines []int
		row   int
	}
	means := make([]mean, log.Products())
	for row, v := range log.Floats(best) {
		if !math.IsNaN(v) {
			m := &means[log.Product(row)]
			m.sum, m.row, m.lines = m.sum+v, row, append(m.lines, log.Line(row))
		}
	}
	out := &Most{Column: best, Products: n, Value: math.Inf(-1)}
	for _, m := range means {
		if k := float64(len(m.lines)); k > 0 && m.sum/k > out.Value {
			out.Value, out.Lines = m.sum/k, m.lines
			out.Maker, out.Part = log.Word(m.row, "maker"), log.Word(m.row, "part")
		}
	}
	return out
}

func trendQuestion(log *dataset.Log, t *trend.Trend) Question {
	q := Question{ID: t.ID, Have: t.N, Needed: t.Needed, Answered: !t.TooFew}
	for _, name := range []string{t.Response, t.Predictor} {
		q.need(log, inputs(log, name)...)
	}
	return q
}

// inputs returns the recorded columns that a measure needs. An area that is
// recorded itself needs no length and width.
func inputs(log *dataset.Log, name string) []string {
	all := catalogue.Inputs(name)
	if name != "media_area" {
		return all
	}
	if _, at := log.Header(name); at > 0 {
		return []string{name}
	}
	return slices.DeleteFunc(all, func(column string) bool { return column == name })
}

func (q *Question) need(log *dataset.Log, columns ...string) {
	for _, name := range columns {
		if slices.Contains(q.Columns, name) {
			continue
		}
		q.Columns = append(q.Columns, name)
		if _, at := log.Header(name); at == 0 {
			q.Without = append(q.Without, name)
		}
	}
}

// changes is the question whether a maker changed something over the years.
func changes(log *dataset.Log, entries []drift.Entry) Question {
	q := Question{ID: "drift"}
	q.need(log, "opened")
	for _, e := range entries {
		q.Answered = q.Answered || e.Verdict != drift.TooFew
		if e.Part == "" {
			q.Have = max(q.Have, e.Blocks)
		}
		if e.Part == "" && e.N > 0 && e.Needed > e.N && (q.More == 0 || e.Needed-e.N < q.More) {
			q.More = e.Needed - e.N
		}
	}
	measured := slices.ContainsFunc(drift.Measures(), func(m string) bool { return log.Filled(m) > 0 })
	if !measured {
		q.need(log, "can_gauge")
	}
	return q
}

// comparison is the question how two parts differ; it needs two products with a
// measure in common.
func comparison(log *dataset.Log) Question {
	q := Question{ID: "compare", Needed: 2}
	for _, c := range log.ColumnsRead().Read {
		if def, ok := catalogue.LookUp(c.Column); ok && def.Kind != catalogue.KindDate && log.Floats(c.Column) != nil {
			q.Have = max(q.Have, products(log, c.Column))
		}
	}
	q.Answered = q.Have >= q.Needed
	return q
}

// yearly is the question what happened in a year.
func yearly(log *dataset.Log) Question {
	q := Question{ID: "roundup", Needed: 1}
	q.need(log, "opened")
	if len(q.Without) == 0 {
		q.Have = products(log, "opened")
	}
	q.Answered = q.Have > 0
	return q
}

// products counts the products with an opening that has all of the columns.
func products(log *dataset.Log, columns ...string) int {
	has := make([]bool, log.Rows())
	for i := range has {
		has[i] = true
	}
	for _, name := range columns {
		values := log.Floats(name)
		for i := range has {
			has[i] = has[i] && values != nil && !math.IsNaN(values[i])
		}
	}
	seen := map[int]bool{}
	for i, ok := range has {
		if ok {
			seen[log.Product(i)] = true
		}
	}
	return len(seen)
}

// oneMore finds the columns that are the only one missing for a question.
func oneMore(log *dataset.Log, questions []Question) []OneMore {
	var out []OneMore
	for _, q := range questions {
		if q.Answered || len(q.Without) != 1 {
			continue
		}
		missing := q.Without[0]
		i := slices.IndexFunc(out, func(o OneMore) bool { return o.Column == missing })
		if i < 0 {
			rest := slices.DeleteFunc(slices.Clone(q.Columns), func(c string) bool { return c == missing })
			i, out = len(out), append(out, OneMore{Column: missing, Rest: products(log, rest...)})
		}
		out[i].Questions = append(out[i].Questions, q.ID)
	}
	slices.SortStableFunc(out, func(a, b OneMore) int { return len(b.Questions) - len(a.Questions) })
	return out
}
