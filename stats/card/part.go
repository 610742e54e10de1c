package card

import (
	"errors"
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats/check"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Part is everything a log tells of one part.
type Part struct {
	Maker   string        `json:"maker"`
	Part    string        `json:"part"`
	Verdict price.Verdict `json:"verdict"`
	// Judgement is what the verdict rests on; of a part without a price what it
	// would usually cost, which the verdict does not tell.
	Judgement price.Judgement    `json:"-"`
	Measures  []string           `json:"measures"`
	Openings  []Opening          `json:"openings"` // in order of time
	Another   *Another           `json:"another_filter"`
	Changes   []drift.Entry      `json:"changes"` // of its maker, or its own, in what was measured of it
	OffTrend  []trend.Flag       `json:"off_trend"`
	Places    []Place            `json:"places"`
	Mount     Mount              `json:"same_mount"`
	Slips     []check.Suggestion `json:"slips"` // readings of it that were probably meant otherwise
}

// Another says that a part is not the same filter any more from an opening on, or
// at that opening alone.
type Another struct {
	Line   int        `json:"line"`
	Opened string     `json:"opened"`
	Before int        `json:"before"` // openings before it
	Alone  bool       `json:"alone"`
	Moved  []Differed `json:"moved"`
}

// Differed is one measure of it, base units, medians over the openings.
type Differed struct {
	Measure string  `json:"measure"`
	Before  float64 `json:"before"`
	After   float64 `json:"after"`
}

// OfPart makes the card of a product named as in the log; room is what a can of
// the same mount must fit into. Errors: *price.UnknownError.
func (b *Basis) OfPart(p price.Product, room Room) (*Part, error) {
	j, err := b.Model.Judge(p.Maker, p.Part)
	if err != nil {
		return nil, err
	}
	verdict := j.Verdict
	if j, err = b.withoutPrice(j); err != nil {
		return nil, err
	}
	rows := b.rowsOf(p)
	c := &Part{Maker: p.Maker, Part: p.Part, Verdict: verdict, Judgement: j, Measures: b.measuresOf(rows),
		Another: b.another(rows), Changes: b.changesOf(p, rows), OffTrend: b.offTrend(p), Mount: b.mount(p, room), Slips: b.slips(rows)}
	if c.Openings, err = b.openings(rows, c.Measures); err != nil {
		return nil, err
	}
	c.Places = b.places(p, c.Mount.Thread)
	return c, nil
}

// withoutPrice gives a product without a price what parts with its contents usually
// cost, where that can be said.
func (b *Basis) withoutPrice(j price.Judgement) (price.Judgement, error) {
	if j.Grade != trend.CannotSay || j.N > 0 || j.Maker == "" || j.Part == "" || !b.Model.Judges() {
		return j, nil
	}
	usual, err := b.Model.WhatIf(map[string]string{"maker": j.Maker, "part": j.Part})
	var unread *price.ValueError
	switch {
	case errors.As(err, &unread) || err == nil && math.IsNaN(usual.Fair):
		return j, nil
	case err != nil:
		return j, err
	}
	usual.Lines, usual.N = j.Lines, j.N
	return usual, nil
}

// another finds the last change into another filter among some rows.
func (b *Basis) another(rows []int) *Another {
	var out *Another
	for _, c := range b.Checked.Changes {
		if !slices.Contains(rows, c.Row) {
			continue
		}
		out = &Another{Line: c.Line, Opened: b.Log.OpenedText(c.Row), Before: c.Before, Alone: c.Alone}
		for _, m := range c.Moved {
			out.Moved = append(out.Moved, Differed{m.Column, m.Before, m.After})
		}
	}
	return out
}

// changesOf are the changes of a part, or of its maker in a measure that the part
// has: those of the maker where there are any.
func (b *Basis) changesOf(p price.Product, rows []int) []drift.Entry {
	var out []drift.Entry
	for _, e := range b.Drift {
		if e.Maker == p.Maker && e.Part == "" && e.Moved() && b.has(rows, e.Measure) {
			out = append(out, e)
		}
	}
	for _, e := range b.Drift {
		whole := func(w drift.Entry) bool { return w.Measure == e.Measure }
		if e.Maker == p.Maker && e.Part == p.Part && e.Moved() && !slices.ContainsFunc(out, whole) {
			out = append(out, e)
		}
	}
	return out
}

// has says whether any of some openings has a measure.
func (b *Basis) has(rows []int, column string) bool {
	values := b.Log.Floats(column)
	return values != nil && slices.ContainsFunc(rows, func(row int) bool { return known(values[row]) })
}

// offTrend are the flags of a product, the surer first.
func (b *Basis) offTrend(p price.Product) []trend.Flag {
	var out []trend.Flag
	for _, f := range b.Flags {
		if f.Maker == p.Maker && f.Part == p.Part {
			out = append(out, f)
		}
	}
	trend.SortFlags(out)
	return out
}

// slips are the readings of some rows that were probably meant otherwise.
func (b *Basis) slips(rows []int) []check.Suggestion {
	lines := map[int]bool{}
	for _, row := range rows {
		lines[b.Log.Line(row)] = true
	}
	var out []check.Suggestion
	for _, s := range b.Checked.Suggestions {
		if lines[s.Line] {
			out = append(out, s)
		}
	}
	return out
}

// Doubtful are the doubtful readings of an opening, by row.
func (b *Basis) Doubtful(row int) []dataset.Problem {
	var out []dataset.Problem
	for _, p := range b.Checked.Problems {
		if p.Line == b.Log.Line(row) && p.Severity != dataset.Note {
			out = append(out, p)
		}
	}
	return out
}
