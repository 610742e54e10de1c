package plots

import (
	"fmt"

	"pleatstat/plots/panels"
	"pleatstat/plots/words"
	"pleatstat/stats/drift"
)

// Drift draws how one measure changed over time, one panel a maker (or a
// part, where no entry is of a whole maker), all on the same scale: the readings
// of some of its parts, each named and with its own mark, the change as fitted,
// and the range of its date where one was located. Prices, which are followed
// against the market, and makers with very many openings are drawn as deviations
// from the part's own mean. Makers that fell or rose come first and are set in
// colour, then those opened most.
//
// Entries of other measures are ignored; entries with too few openings are
// counted in the note. It returns ErrNothingToDraw where no entry of the
// measure has a point and an estimate.
func Drift(entries []drift.Entry, measure string, s Source) (*Chart, error) {
	return DriftOf(entries, measure, "", s)
}

// DriftOf is Drift with the readings of one part among those of its maker, however
// often it was opened.
func DriftOf(entries []drift.Entry, measure, part string, s Source) (*Chart, error) {
	s = s.withDefaults()
	v := panels.New(entries, measure, part, s.Units)
	if v == nil {
		return nil, fmt.Errorf("drift of %s: %w", measure, ErrNothingToDraw)
	}
	s.Openings = 0 // those of this measure are counted
	return &Chart{
		Title:    v.Title(),
		Subtitle: v.Subtitle(),
		Source:   s,
		counted:  words.Figures(v.Openings(), "opening", "openings"),
		body:     v.Draw,
	}, nil
}
