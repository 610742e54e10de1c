package charts

import (
	"slices"

	"pleatstat/cmd/pleatstat/internal/render/changes"
	"pleatstat/plots"
	"pleatstat/stats/drift"
	"pleatstat/stats/report"
)

// alwaysDrawn is the measure whose drift the report draws even if nothing changed:
// nobody sees by eye that a can became thinner.
const alwaysDrawn = "can_gauge"

// Report returns the charts of a report: each trend, the verdicts on prices, and the
// measure that each change is reported by. The drift command draws the measures that
// changed with it.
func Report(f *report.Findings) ([]Named, error) {
	source := plots.Source{File: f.Log.File, Where: f.Log.Columns.Where.Conditions, Openings: f.Log.Used, Units: f.Units,
		From: yearOf(f.Log.FirstOpened), To: yearOf(f.Log.LastOpened)}
	var s set
	for _, t := range f.Trends {
		if t.Related() { // otherwise a sentence says that the two are not related
			s.add("trend-" + t.ID)(plots.Trend(t, f.Flags, source))
		}
	}
	s.add("prices")(plots.Prices(f.Judged, source))
	leads := changes.Leading(f.Drift)
	for _, measure := range measuresOf(f.Drift, func(e drift.Entry) bool {
		return e.Measure == alwaysDrawn || slices.Contains(leads, e.Measure)
	}) {
		s.add("drift-" + measure)(plots.Drift(f.Drift, measure, source))
	}
	return s.charts, s.err
}

// Drift returns one chart for each measure of the entries.
func Drift(entries []drift.Entry, source plots.Source) ([]Named, error) {
	var s set
	for _, measure := range measuresOf(entries, everything) {
		s.add("drift-" + measure)(plots.Drift(entries, measure, source))
	}
	return s.charts, s.err
}

// measuresOf lists the measures of the entries for which wanted is true, in order of
// first appearance.
func measuresOf(entries []drift.Entry, wanted func(drift.Entry) bool) []string {
	var names []string
	for _, e := range entries {
		if wanted(e) && !slices.Contains(names, e.Measure) {
			names = append(names, e.Measure)
		}
	}
	return names
}

func everything(drift.Entry) bool { return true }
