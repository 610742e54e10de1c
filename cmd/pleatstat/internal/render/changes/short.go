package changes

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// maxMakers is how many makers have a line each in the short form.
const maxMakers = 3

// InShort returns a line for each maker with a change worth reporting, and one that
// names the makers for whom there is no room.
func InShort(entries []drift.Entry, u dataset.Units) []string {
	found := moved(entries)
	makers := slices.DeleteFunc(makersOf(found), func(maker string) bool { return isTrifle(maker, found) })
	own := makers
	if len(makers) > maxMakers {
		own = makers[:maxMakers-1]
	}
	var out []string
	for _, maker := range own {
		out = append(out, shortChange(MadeBy(maker, found)[0], u))
	}
	return append(out, AlsoChanged(makers[len(own):])...)
}

// NewsFirst lists the makers that changed, those with a change worth reporting first.
func NewsFirst(found []drift.Entry) []string {
	makers := makersOf(found)
	last := func(maker string) int {
		if isTrifle(maker, found) {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(makers, func(a, b string) int { return cmp.Compare(last(a), last(b)) })
	return makers
}

// isTrifle reports whether a maker's change is less than half of the yearly change
// worth finding.
func isTrifle(maker string, found []drift.Entry) bool { return worth(MadeBy(maker, found)[0]) < 0.5 }

// AlsoChanged names makers whose change has no sentence of its own.
func AlsoChanged(makers []string) []string {
	if len(makers) == 0 {
		return nil
	}
	names := make([]string, len(makers))
	for i, maker := range makers {
		names[i] = wording.Short(maker)
	}
	return []string{"Also changed: " + wording.Joined(wording.Cut(names, wording.MaxNamed)) + "."}
}

// shortChange returns a change as a line of the short form. Of a can gauge that has
// been changing steadily it states the total so far.
func shortChange(e drift.Entry, u dataset.Units) string {
	if e.Measure != "can_gauge" || e.Statement.Shape != drift.AsSlopeSince || e.Part != "" || len(e.Points) == 0 {
		return Sentence(e, u, false)
	}
	from := drift.Year(e.Statement.From)
	total := e.Statement.By * (e.Points[len(e.Points)-1].Year - from)
	if total*e.Statement.By <= 0 {
		return Sentence(e, u, false)
	}
	thinner, lost := "thinner", "lost"
	if e.Verdict == drift.Rising {
		thinner, lost = "thicker", "gained"
	}
	return fmt.Sprintf("%s's cans get %s: %s %s since %s.", wording.Short(e.Maker), thinner, wording.Quantity(u, e.Measure, math.Abs(total)), lost, wording.Month(e.Statement.From))
}

// worth returns the size of a change as a multiple of the yearly change worth finding.
func worth(c drift.Entry) float64 {
	worth, share := drift.WorthFinding(c.Measure)
	if share && !c.Relative { // By is in the measure's unit
		sum := 0.0
		for _, p := range c.Points {
			sum += p.Value
		}
		if len(c.Points) > 0 {
			worth *= sum / float64(len(c.Points))
		}
	}
	if !(worth > 0) {
		return 0
	}
	return math.Abs(c.Statement.By) / worth
}
