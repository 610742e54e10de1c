package programme

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/changes"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/drift"
	"pleatstat/stats/roundup"
)

// news returns the chapter on what makers changed: each change with a part's own
// readings then and now and, if it is about a single maker, what came with it.
func (s speaker) news() Chapter {
	c := Chapter{ID: News, Title: "What makers changed", Tables: []string{News}}
	found := s.r.Changed
	makers := changes.NewsFirst(found)
	if len(makers) == 0 {
		return c
	}
	own := makers
	if len(makers) >= maxMore {
		own = makers[:maxMore-1]
	}
	for _, maker := range own {
		groups := changes.TogetherBy(maker, found)
		main := groups[0][0]
		c.Points = append(c.Points, changes.Sentence(main, s.u, true)+changes.DearerByArea(main, found))
		if id := DriftPrefix + main.Measure; !slices.Contains(c.Charts, id) {
			c.Charts = append(c.Charts, id)
		}
		if len(own) > 1 {
			continue
		}
		if with := groups[0][1:]; len(with) > 0 {
			c.Points = append(c.Points, changes.Others(main, with, found))
		}
		if len(groups) > 1 {
			c.Points = append(c.Points, changes.Sentence(groups[1][0], s.u, true))
		}
	}
	c.Points = append(append(c.Points, changes.AlsoChanged(makers[len(own):])...), wording.AboutChange)
	return c
}

// dearerByArea returns a sentence on what a shift of the media area does to the price
// per area, "" if no shift of that follows from it.
func (s speaker) dearerByArea(area roundup.Shift) string {
	i := slices.IndexFunc(s.r.Shifts, func(sh roundup.Shift) bool { return sh.Group == area.Group && sh.Follows == area.Measure })
	switch {
	case i < 0:
		return ""
	case s.r.Shifts[i].Shift > 0:
		return changes.MediaDearer
	}
	return changes.MediaCheaper
}

// shifts returns sentences on how the parts opened again have changed, the only
// comparison of like with like; nil if no change is certain.
func (s speaker) shifts() []string {
	var points, still []string
	dearer, since := false, " since each was last opened"
	for _, sh := range s.r.Shifts {
		switch {
		case sh.Group != roundup.OpenedAgain || sh.TooFew:
		case !sh.Clear:
			still = append(still, catalogue.Words(sh.Measure))
		case sh.Measure == changes.PricePerArea && dearer: // covered by the price
		case sh.Follows != "": // covered by the area
		default:
			dearer = dearer || sh.Measure == "price"
			what := "The " + catalogue.Words(sh.Measure) + " of parts opened again has "
			if wording.Counts(sh.Measure) {
				what = strings.TrimSuffix(what, "has ") + "have "
			}
			if sh.Measure == "price" {
				what = "Prices of parts opened again have "
			}
			points = append(points, fmt.Sprintf("%s%s by about %s a year%s.", what, map[bool]string{true: "risen", false: "fallen"}[sh.Shift > 0], changes.SizeOf(sh.Measure, sh.Relative, sh.Shift, s.u), since)+s.dearerByArea(sh))
			since = ""
		}
	}
	if len(points) == 0 {
		return nil
	}
	points = points[:min(len(points), maxMore)]
	if len(still) > 0 {
		points = append(points, "Over all of them "+wording.Joined(still)+" "+wording.Plural(len(still), "shows", "show")+" no sure change.")
	}
	return points
}

// changes returns sentences on what differs in parts opened before, without what a
// change over the years explains.
func (s speaker) changes() []string {
	var parts []string
	of := map[string][]roundup.Change{}
	looks := 0
	for _, c := range s.r.Reopened.Changes {
		name := wording.Name(c.Maker, c.Part)
		switch {
		case s.explained(c.Maker, c.Part, c.Measure):
		case !c.Clear:
			looks++
		default:
			if of[name] == nil {
				parts = append(parts, name)
			}
			of[name] = append(of[name], c)
		}
	}
	var points []string
	for _, name := range parts {
		points = append(points, s.changed(name, of[name]))
	}
	for _, w := range s.r.Reopened.Words {
		points = append(points, fmt.Sprintf("%s: %s is now %s; in %d it was %s.", wording.Name(w.Maker, w.Part), catalogue.Words(w.Measure), wording.Short(w.Now), w.Since, wording.Short(w.Before)))
	}
	if more := len(points) - maxMore; more > 0 {
		return append(points[:maxMore], fmt.Sprintf("The table has %s more.", wording.Spelt(more)))
	}
	if r := s.r.Reopened; float64(looks) > r.Chance+2*math.Sqrt(r.Chance) { // two standard deviations of a Poisson count
		points = append(points, "More readings than chance brings differ from the last time; which of them are real is open.")
	}
	return points
}

// explained reports whether a change of a part belongs to a change over the years of
// the part or its maker.
func (s speaker) explained(maker, part, measure string) bool {
	return slices.ContainsFunc(s.r.Drift, func(e drift.Entry) bool {
		return e.Moved() && e.Covers(dataset.Label{Maker: maker, Part: part}) && e.Concerns(measure)
	})
}

// changed returns a sentence on what differs in one part. If several measures do, it is
// another filter under the same number.
func (s speaker) changed(name string, all []roundup.Change) string {
	var phrases, inside []string
	for _, c := range all {
		is, was := "is", "it was"
		if wording.Counts(c.Measure) {
			is, was = "are", "they were"
		}
		beyond := ""
		if c.AboveMarket {
			beyond = ", which the market alone does not explain"
		}
		phrases = append(phrases, fmt.Sprintf("%s %s %s, in %d %s %s%s", catalogue.Words(c.Measure), is, wording.Quantity(s.u, c.Measure, c.Now), c.Since, was, wording.Quantity(s.u, c.Measure, c.Before), beyond))
		if c.Measure != "price" {
			inside = append(inside, catalogue.Words(c.Measure))
		}
	}
	if len(inside) > 1 {
		return fmt.Sprintf("%s is not the same filter any more: %s changed since %d.", name, wording.Joined(inside), all[0].Since)
	}
	return name + ": " + strings.Join(phrases, "; ") + "."
}

// makers returns a sentence on the makers that clearly differ from the others in one
// table, "" if none does.
func (s speaker) makers(t roundup.MakerTable) string {
	var off []string
	for _, r := range t.Rows {
		by := changes.SizeOf(t.Measure, t.Relative, r.Pooled, s.u)
		switch {
		case r.Side == 0:
		case t.Measure == "price":
			off = append(off, wording.Short(r.Maker)+"'s cost about "+by+" "+wording.More(t.Measure, r.Side > 0))
		default:
			off = append(off, wording.Short(r.Maker)+"'s are "+map[bool]string{true: "thicker", false: "thinner"}[r.Side > 0]+" by about "+by)
		}
	}
	if len(off) == 0 {
		return ""
	}
	among := "Of cans of one size opened here "
	if t.Measure == "price" {
		among = "Of filters opened here with the same " + catalogue.Words(t.Against) + " "
	}
	return among + wording.Joined(wording.Cut(off, maxMore)) + "."
}
