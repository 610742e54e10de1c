package roundup

import (
	"fmt"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// EnoughOpenings is the least number of openings of a year for it to be the
// default.
const EnoughOpenings = 8

// defaultYear returns the last year with enough openings, else the last with any;
// why explains the choice where a later year has some.
func (b *bench) defaultYear(years []int) (year int, why string) {
	if len(years) == 0 {
		return 0, ""
	}
	last := years[len(years)-1]
	openings := map[int]int{}
	for _, o := range b.rows {
		openings[o.year]++
	}
	for _, y := range slices.Backward(years) {
		if openings[y] < EnoughOpenings {
			continue
		}
		if y < last {
			why = fmt.Sprintf("The year told is %d, the last with at least %d openings; %d has %d so far, and --year %d tells of it.",
				y, EnoughOpenings, last, openings[last], last)
		}
		return y, why
	}
	return last, ""
}

// news returns the changes of makers and parts that belong to the year: a step in
// the year of its date, a slope from the year in which it began to the last year
// with openings that show it. Points and the example end with the year.
func (b *bench) news() []drift.Entry {
	var out []drift.Entry
	for _, e := range b.changes {
		if !e.Moved() || len(e.Points) == 0 {
			continue
		}
		first, last := e.Points[0].When.Year(), e.Points[len(e.Points)-1].When.Year()
		switch e.Statement.Shape {
		case drift.AsStep:
			first, last = e.Statement.From.Year(), e.Statement.From.Year()
		case drift.AsSlopeSince:
			first = e.Statement.From.Year()
		}
		if b.year < first || b.year > last {
			continue
		}
		e.Points = slices.DeleteFunc(slices.Clone(e.Points), func(p drift.Observation) bool { return p.When.Year() > b.year })
		if e.Statement.Now.When.Year() > b.year {
			exampleUpTo(&e)
		}
		out = append(out, e)
	}
	return out
}

// exampleUpTo replaces the current reading of the example by the last of its
// points, if that is later than the reading before the change; otherwise it
// removes the example.
func exampleUpTo(e *drift.Entry) {
	example := e.Statement.Example
	e.Statement.Example = ""
	for _, p := range e.Points {
		if p.Part == example && p.When.After(e.Statement.Then.When) && !p.When.Before(e.Statement.From) {
			e.Statement.Example, e.Statement.Now = example, drift.Reading{When: p.When, Value: p.Value, N: 1, Lines: []int{p.Line}}
		}
	}
}

// misspelt returns the products whose maker or part is probably another spelling
// of another one's name.
func (b *bench) misspelt() map[[2]string]bool {
	makers, parts := map[string]bool{}, map[[2]string]bool{}
	for _, s := range dataset.Spellings(b.log) {
		for _, v := range s.Variants {
			if s.Column == "maker" {
				makers[v.Text] = true
			} else {
				parts[[2]string{s.Maker, v.Text}] = true
			}
		}
	}
	out := map[[2]string]bool{}
	for _, p := range b.products {
		if key := [2]string{p.maker, p.part}; makers[p.maker] || parts[key] {
			out[key] = true
		}
	}
	return out
}
