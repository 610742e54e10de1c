package charts

import (
	"slices"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/programme"
	"pleatstat/dataset"
	"pleatstat/plots"
	"pleatstat/stats/roundup"
)

// Roundup returns the charts of a roundup, numbered in the order of its chapters.
func Roundup(log *dataset.Log, r *roundup.Roundup, chapters []programme.Chapter) ([]Named, error) {
	source := plots.Source{File: r.File, Where: log.Selection().Conditions, Units: r.Units, From: r.Years[0], To: r.Year}
	var made set
	for _, t := range r.Tables {
		made.add(t.ID)(plots.Ranking(t, r.Year, source))
	}
	made.add(programme.Shifts)(plots.Shifts(r.Shifts, r.Year, r.Before, source))
	made.add(programme.Changes)(plots.PartChanges(r.Reopened, r.Year, source))
	for _, t := range r.Makers {
		made.add(programme.MakersPrefix + t.ID)(plots.MakersPooled(t, r.Year, source))
	}
	var out []Named
	for _, c := range chapters {
		for _, name := range c.Charts {
			if measure, of := strings.CutPrefix(name, programme.DriftPrefix); of {
				made.add(name)(plots.Drift(r.Drift, measure, SourceOf(log)))
			}
			if at := slices.IndexFunc(made.charts, func(c Named) bool { return c.Name == name }); at >= 0 {
				out = append(out, Named{Number: len(out) + 1, Name: name, Chart: made.charts[at].Chart})
			}
		}
	}
	return out, made.err
}
