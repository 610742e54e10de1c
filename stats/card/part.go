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

// Part is everything a log shows of one part.
type Part struct {
	Maker   string        `json:"maker"`
	Part    string        `json:"part"`
	Verdict price.Verdict `json:"verdict"`
	// Judgement is the basis of the verdict; for a part without a price it gives
	// the usual price, which the verdict does not.
	Judgement price.Judgement    `json:"-"`
	Measures  []string           `json:"measures"`
	Openings  []Opening          `json:"openings"` // by date
	Another   *AnotherFilter     `json:"another_filter"`
	Changes   []drift.Entry      `json:"changes"` // changes of its maker, or its own, in measures that it has
	OffTrend  []trend.Flag       `json:"off_trend"`
	Places    []Place            `json:"places"`
	Mount     Mount              `json:"same_mount"`
	Slips     []check.Suggestion `json:"slips"` // its readings that were probably meant otherwise
}

// AnotherFilter reports that a part is not the same filter any more from an opening on,
// or at that opening alone.
type AnotherFilter struct {
	Line   int              `json:"line"`
	Opened string           `json:"opened"`
	Before int              `json:"before"` // openings before it
	Alone  bool             `json:"alone"`
	Moved  []ChangedMeasure `json:"moved"`
}

// ChangedMeasure is one measure that changed, base units, medians over the openings.
type ChangedMeasure struct {
	Measure string  `json:"measure"`
	Before  float64 `json:"before"`
	After   float64 `json:"after"`
}

// OfPart makes the card of a product named as in the log; room is the space that
// a can of the same mount must fit into. Errors: *price.UnknownError.
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

// withoutPrice adds the usual price of its contents to a product without a price,
// where it can be estimated.
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

// another returns the last change into another filter among some rows.
func (b *Basis) another(rows []int) *AnotherFilter {
	var out *AnotherFilter
	for _, c := range b.Checked.Changes {
		if !slices.Contains(rows, c.Row) {
			continue
		}
		out = &AnotherFilter{Line: c.Line, Opened: b.Log.OpenedText(c.Row), Before: c.Before, Alone: c.Alone}
		for _, m := range c.Moved {
			out.Moved = append(out.Moved, ChangedMeasure{m.Column, m.Before, m.After})
		}
	}
	return out
}

// changesOf returns the changes of a part's maker in measures that the part has,
// and the part's own changes in other measures.
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

// has reports whether any of some openings has a measure.
func (b *Basis) has(rows []int, column string) bool {
	values := b.Log.Floats(column)
	return values != nil && slices.ContainsFunc(rows, func(row int) bool { return known(values[row]) })
}

// offTrend returns the flags of a product, higher grades first.
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

// slips returns the readings of some rows that were probably meant otherwise.
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

// Doubtful returns the doubtful readings of the opening in a row.
func (b *Basis) Doubtful(row int) []dataset.Problem {
	var out []dataset.Problem
	for _, p := range b.Checked.Problems {
		if p.Line == b.Log.Line(row) && p.Severity != dataset.Note {
			out = append(out, p)
		}
	}
	return out
}
