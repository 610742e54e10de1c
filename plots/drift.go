package plots

import (
	"fmt"

	"pleatstat/plots/panels"
	"pleatstat/plots/words"
	"pleatstat/stats/drift"
)

// Drift draws how one measure changed over time. It has up to four panels on the
// same scale, one for each maker (or for each part, if no entry is of a whole
// maker), with the readings of some of the maker's parts, each part named and
// with a mark of its own, the fitted change, and the 95 % range of its date if
// the change was dated. Deviations from each part's mean are drawn instead of
// readings if the measure is a price, which is followed relative to the market,
// or if a maker has more than page.DenseFrom openings. Makers whose values fell
// or rose come first, in colour, then those with most openings.
//
// Entries of other measures are ignored; entries with too few openings are
// counted in the note. It returns ErrNothingToDraw if no entry of the measure
// has both a point and an estimate.
func Drift(entries []drift.Entry, measure string, s Source) (*Chart, error) {
	return DriftOf(entries, measure, "", s)
}

// DriftOf is like Drift but always draws the readings of the named part among
// those of its maker, however few they are.
func DriftOf(entries []drift.Entry, measure, part string, s Source) (*Chart, error) {
	s = s.withDefaults()
	v := panels.New(entries, measure, part, s.Units)
	if v == nil {
		return nil, fmt.Errorf("drift of %s: %w", measure, ErrNothingToDraw)
	}
	s.Openings = 0 // only openings with this measure are counted
	return &Chart{
		Title:    v.Title(),
		Subtitle: v.Subtitle(),
		Source:   s,
		counted:  words.Figures(v.Openings(), "opening", "openings"),
		body:     v.Draw,
	}, nil
}
