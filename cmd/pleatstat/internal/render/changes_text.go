package render

import (
	"math"
	"strings"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/report"
	"pleatstat/stats/trend"
)

// change is an entry as it is told: a step as a step, a slope as a slope, with the
// readings of one part that shows it.
type change struct {
	drift.Entry
	step        bool
	by          float64 // of a step its size, else a year; NaN where no size agrees with the verdict
	low, high   float64
	part        string // "" = no part shows it by its own readings
	before, now drift.Observation
}

// changeOf decides how an entry is told.
func changeOf(e drift.Entry) change {
	c := change{Entry: e, by: e.PerYear, low: e.Low, high: e.High}
	switch {
	case e.ChangeFrom.IsZero():
	case !e.ChangeGradual && !math.IsNaN(e.Step):
		c.step, c.by, c.low, c.high = true, e.Step, e.StepLow, e.StepHigh
	case e.ChangeGradual && e.ChangePerYearLow*e.ChangePerYearHigh > 0:
		c.by, c.low, c.high = e.ChangePerYear, e.ChangePerYearLow, e.ChangePerYearHigh
	default: // the pace since then is not known, that over all the years is
		c.ChangeFrom = time.Time{}
	}
	if math.Signbit(c.by) != (e.Verdict == drift.Falling) {
		c.by = math.NaN()
	}
	c.example()
	return c
}

// example finds the part whose readings before and now differ most nearly by what
// is told: a typical one, not the one that changed most. Prices have none: what is
// told of them is their movement against the market.
func (c *change) example() {
	if c.Relative || math.IsNaN(c.by) {
		return
	}
	from := math.Inf(-1)
	if !c.ChangeFrom.IsZero() {
		from = decimalYear(c.ChangeFrom)
	}
	before, now := map[string]drift.Observation{}, map[string]drift.Observation{}
	var parts []string
	for _, p := range c.Points { // by date
		first, seen := before[p.Part]
		if !seen {
			parts = append(parts, p.Part)
		}
		if !seen || p.Year < from && first.Year < from {
			before[p.Part] = p
		}
		now[p.Part] = p
	}
	best := 0.5 // half as much or half as much again still shows it
	for _, part := range parts {
		b, n := before[part], now[part]
		want := c.by
		if !c.step {
			want *= n.Year - math.Max(b.Year, from)
		}
		if n.Year <= from || c.step && b.Year >= from || want == 0 {
			continue
		}
		if off := math.Abs((n.Value-b.Value)/want - 1); off < best {
			best, c.part, c.before, c.now = off, part, b, n
		}
	}
}

func decimalYear(t time.Time) float64 {
	return float64(t.Year()) + float64(t.YearDay()-1)/365.25
}

// madeBy are the changes of one maker to be told: those of the maker as a
// whole where there are any, else those of its parts. A price per area that
// follows the area is told with it.
func madeBy(maker string, found []drift.Entry) []change {
	whole := hasMaker(found, maker)
	var out []change
	for _, e := range found {
		if e.Maker == maker && (e.Part == "" || !whole) && !followsArea(e, found) {
			out = append(out, changeOf(e))
		}
	}
	return out
}

// overTheYears writes who changed over the years; false where nobody did.
func overTheYears(t *Text, f *report.Findings, detail bool) bool {
	found := moved(f.Drift)
	if len(found) == 0 {
		return false
	}
	t.Heading("Changed over the years")
	listed(t, makersOf(found), maxListed, findingsJSON, func(maker string) {
		t.changesBy(maker, found, f.Units)
		if detail {
			t.changeDetails(maker, found, f.Units)
		}
	})
	t.Para("A log can't tell a redesign from another supplier or plant.")
	return true
}

// changesBy writes the changes of one maker, or of its parts where those of the
// maker are none, what came at one time together.
func (t *Text) changesBy(maker string, found []drift.Entry, u dataset.Units) {
	all := madeBy(maker, found)
	for len(all) > 0 {
		with := []change{}
		rest := []change{}
		for _, c := range all[1:] {
			if c.sameTime(all[0]) {
				with = append(with, c)
			} else {
				rest = append(rest, c)
			}
		}
		t.change(all[0], with, found, u)
		all = rest
	}
}

// change writes one change, then those that came with it.
func (t *Text) change(c change, with []change, found []drift.Entry, u dataset.Units) {
	t.Para(c.sentence(u, true) + dearerByArea(c.Entry, found))
	t.evidence(c.evidence(u))
	if len(with) == 0 {
		return
	}
	var names, figures []string
	dearer := ""
	for _, w := range with {
		names = append(names, trend.Words(w.Measure))
		if r := w.between(u); r != "" {
			figures = append(figures, trend.Words(w.Measure)+" "+r+beyondMarket(w.Entry))
		}
		dearer += dearerByArea(w.Entry, found)
	}
	went := map[bool]string{true: "fell", false: "rose"}[c.Verdict == drift.Falling]
	if !c.step {
		went = map[bool]string{true: "have fallen too", false: "have risen too"}[c.Verdict == drift.Falling]
		if len(with) == 1 && !counts(with[0].Measure) {
			went = strings.Replace(went, "have", "has", 1)
		}
	} else {
		went += " at about the same time"
	}
	t.Para(capital(joined(names)) + " " + went + "." + dearer)
	if len(figures) > 0 {
		t.evidence(strings.Join(figures, "; ") + c.pace())
	}
}

// changeDetails are the tests behind a maker's changes.
func (t *Text) changeDetails(maker string, found []drift.Entry, u dataset.Units) {
	for _, e := range found {
		if e.Maker != maker {
			continue
		}
		name := ""
		if e.Part != "" {
			name = "part " + short(e.Part) + ": "
		}
		t.evidence(name + driftSentence(e, u) + changeSentence(e, u))
		for _, s := range driftDetails(e, u) {
			t.evidence(s)
		}
		for _, w := range e.Warnings {
			t.evidence(sentence(w))
		}
	}
}

// sameTime says whether a change of another measure is told with a first one: of
// the same filters, the same way, as a step or a slope too, within a year.
func (c change) sameTime(first change) bool {
	const year = 366 * 24 * time.Hour
	return c.Part == first.Part && c.Verdict == first.Verdict && c.step == first.step &&
		c.ChangeFrom.IsZero() == first.ChangeFrom.IsZero() && c.ChangeFrom.Sub(first.ChangeFrom).Abs() <= year
}
