package report

import (
	"slices"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/trend"
)

// noteDoubts attaches to each flag the doubtful readings it rests on, so that a
// slip of the calipers is not reported as a finding about the part.
func noteDoubts(flags []trend.Flag, trends []*trend.Trend, problems []dataset.Problem) {
	inputs := map[string][]string{}
	for _, t := range trends {
		inputs[t.ID] = slices.Concat(catalogue.Inputs(t.Response), catalogue.Inputs(t.Predictor))
	}
	byLine := map[int][]dataset.Problem{}
	for _, p := range problems {
		if p.Severity == dataset.Doubtful {
			byLine[p.Line] = append(byLine[p.Line], p)
		}
	}
	for i := range flags {
		f := &flags[i]
		f.Doubtful = nil
		for _, line := range f.Lines {
			for _, p := range byLine[line] {
				if slices.Contains(inputs[f.Trend], p.Name) {
					f.Doubtful = append(f.Doubtful, p)
				}
			}
		}
	}
}
