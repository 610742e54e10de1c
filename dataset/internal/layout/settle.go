package layout

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/header"
	"pleatstat/dataset/internal/problem"
	"pleatstat/dataset/internal/sheet"
	"pleatstat/dataset/internal/units"
)

// settle decides what the headers leave open: which of two headers for one
// column is read, and which column an ambiguous header means. A header that
// remains undecided is kept as a column of the user's own and reported with the
// option that resolves it.
func (l *Layout) settle(text *sheet.Text, picks Choices) error {
	taken := map[string]int{} // index of the heading, by column
	for i := range l.Headings {
		if h := &l.Headings[i]; h.picked {
			taken[h.Match.Column] = i
		}
	}
	for i := range l.Headings {
		h := &l.Headings[i]
		if !h.Known || h.picked || h.Match.Loose {
			continue
		}
		if by, ok := taken[h.Match.Column]; ok && l.Headings[by].picked {
			l.pass(i, []string{h.Match.Column}, taken)
		} else if !ok {
			taken[h.Match.Column] = i
		}
	}
	var open []int
	for i := range l.Headings {
		h := &l.Headings[i]
		_, have := taken[h.Match.Column]
		switch {
		case !h.Known || h.picked || !h.Match.Loose:
		case len(h.Match.Others) > 0:
			open = append(open, i)
		case have:
			l.pass(i, []string{h.Match.Column}, taken)
		default:
			taken[h.Match.Column] = i
		}
	}
	if len(open) > 0 {
		s, err := l.samples(text)
		if err != nil {
			return err
		}
		l.byNumbers(open, s, taken)
	}
	for i := range l.Headings {
		l.suggest(i, taken)
	}
	return picks.missing(l)
}

// suggest notes what an unknown header may mean: the column of which it is a
// misspelling, or those that its known words mean without the others.
func (l *Layout) suggest(i int, taken map[string]int) {
	h := &l.Headings[i]
	if h.Known || h.Text == "" || h.Unsure != "" {
		return
	}
	if near := header.Nearest(h.Text); near != "" {
		if _, have := taken[near]; !have {
			h.May = []string{near}
		}
		return
	}
	m, unknown, ok := header.MatchKnown(h.Text)
	if !ok || m.Both {
		return
	}
	free := l.free(m, taken)
	if len(free) == 0 || len(free) > 3 {
		return
	}
	h.May, h.Doubt = free, problem.Note
	h.Unsure = fmt.Sprintf("may be %s, but %q is no word that is known; it is not used. Say %s", strings.Join(free, " or "), strings.Join(unknown, " "), cures(free, h.Text))
}

// pass keeps a heading as a column of the user's own, since the column it means
// is read from another.
func (l *Layout) pass(i int, means []string, taken map[string]int) {
	h := &l.Headings[i]
	h.Known = false
	for _, c := range means {
		if by, ok := taken[c]; ok {
			h.Doubt = problem.Note
			h.Unsure = fmt.Sprintf("looks like %s too, which is read from %q; %s reads this one instead", c, l.Headings[by].Text, cure(c, h.Text))
			return
		}
	}
}

// byNumbers decides ambiguous headings by their numbers. It repeats, since each
// decision leaves fewer columns to the others.
func (l *Layout) byNumbers(open []int, s []sample, taken map[string]int) {
	systems := l.systems()
	for again := true; again; {
		again = false
		for at, i := range open {
			h := &l.Headings[i]
			free := l.free(h.Match, taken)
			if h.Match.Both {
				continue
			}
			fitting := slices.DeleteFunc(slices.Clone(free), func(c string) bool { return !s[i].fits(catalogue.Facts(c), h.Match.Unit, systems) })
			var pick, why string
			switch {
			case len(fitting) == 1:
				pick, why = fitting[0], l.whyFits(i, s[i], free)
			case required(fitting) != "":
				pick, why = required(fitting), "a log needs one"
			default:
				pick, why = l.byOthers(i, fitting, s)
			}
			if pick != "" {
				h.Match.Column, h.Match.Others, h.Why = pick, nil, why
				taken[pick] = i
				open = slices.Delete(open, at, at+1)
				again = true
				break
			}
		}
	}
	for _, i := range open {
		l.ask(i, s[i], taken)
	}
}

// free returns the columns that a header may mean and no other header is read
// as.
func (l *Layout) free(m header.Meaning, taken map[string]int) []string {
	return slices.DeleteFunc(m.All(), func(c string) bool { _, ok := taken[c]; return ok })
}

func (l *Layout) whyFits(i int, s sample, free []string) string {
	h := l.Headings[i]
	if len(h.Match.Others)+1 > len(free) && len(free) == 1 {
		return "the others it may mean stand in columns of their own"
	}
	if !s.numeric() {
		return "it holds words"
	}
	return fmt.Sprintf("its middle value, %g, lies where those do", s.middle())
}

// required returns maker or part if exactly one of them is among the columns,
// else "". Every log needs both.
func required(found []string) string {
	maker, part := slices.Contains(found, "maker"), slices.Contains(found, "part")
	switch {
	case maker && !part:
		return "maker"
	case part && !maker:
		return "part"
	}
	return ""
}

// strip is the least ratio of length to width of a media strip.
const strip = 4

// byOthers decides by comparison with other columns: the whole filter is
// heavier than any part of it, and a length many times the width beside it is
// that of the media.
func (l *Layout) byOthers(i int, fitting []string, s []sample) (column, why string) {
	if slices.Contains(fitting, "total_mass") {
		for j, h := range l.Headings {
			if j != i && h.Known && catalogue.Facts(h.Match.Column).Kind == catalogue.KindMass && !(s[i].middle() > s[j].middle()) {
				return "", ""
			}
		}
		return "total_mass", "it is the largest of the masses"
	}
	length, width := slices.Contains(fitting, "media_length"), slices.Contains(fitting, "element_width")
	for j, h := range l.Headings {
		if j == i || !h.Known || length && !slices.Contains(h.Match.All(), "element_width") {
			continue
		}
		other := s[j].middle()
		if length && s[i].middle() >= strip*other && l.sameUnit(i, j) {
			return "media_length", fmt.Sprintf("it is many times the %q beside it, as of a strip of media", h.Text)
		}
		if width && h.Match.Column == "media_length" && other >= strip*s[i].middle() && l.sameUnit(i, j) {
			return "element_width", fmt.Sprintf("the %q beside it is many times as much, as of a strip of media", h.Text)
		}
	}
	return "", ""
}

func (l *Layout) sameUnit(i, j int) bool {
	a, _ := units.Find(l.Headings[i].Match.Unit, units.Length)
	b, _ := units.Find(l.Headings[j].Match.Unit, units.Length)
	return a.Symbol == b.Symbol
}

// systems returns the system of units named in the headers of lengths, nil if
// there is none or both. Gauges do not count, since many logs in inches give
// them in millimetres.
func (l *Layout) systems() []units.System {
	var out []units.System
	for _, h := range l.Headings {
		if c := catalogue.Facts(h.Match.Column); !h.Known || c.Kind != catalogue.KindLength || c.Thin() {
			continue
		}
		if u, ok := units.Find(h.Match.Unit, units.Length); ok && !slices.Contains(out, u.System) {
			out = append(out, u.System)
		}
	}
	if len(out) > 1 {
		return nil
	}
	return out
}

// ask keeps a heading as a column of the user's own and notes what it may mean.
func (l *Layout) ask(i int, s sample, taken map[string]int) {
	h := &l.Headings[i]
	free := l.free(h.Match, taken)
	h.Known = false
	if len(free) == 0 {
		l.pass(i, h.Match.All(), taken)
		return
	}
	h.May, h.Doubt = free, problem.Doubtful
	names := strings.Join(free, " or ")
	switch {
	case h.Match.Both && len(free) > 1:
		h.Unsure = fmt.Sprintf("names %s; it is not used. Give each a column of its own, or say %s", strings.Join(free, " and "), cures(free, h.Text))
	case math.IsNaN(s.middle()):
		h.Unsure = fmt.Sprintf("may be %s, and it holds no numbers that tell; it is not used. Say %s", names, cures(free, h.Text))
	default:
		h.Unsure = fmt.Sprintf("may be %s, and its middle value, %g, does not tell; it is not used. Say %s", names, s.middle(), cures(free, h.Text))
	}
}

// guess returns at most two headers that may be a required column, judged by
// their words and by the cells below, without those already guessed for another
// column.
func (l *Layout) guess(text *sheet.Text, column string, had []Choice) []string {
	var out []string
	add := func(header string) {
		taken := slices.ContainsFunc(had, func(c Choice) bool { return c.Header == header })
		if header != "" && !taken && !slices.Contains(out, header) && len(out) < 2 {
			out = append(out, header)
		}
	}
	for _, h := range l.Headings {
		if !h.Known && header.MayName(h.Text, column) {
			add(h.Text)
		}
	}
	s, err := l.samples(text)
	if err != nil {
		return out
	}
	for i, h := range l.Headings {
		if !h.Known && (column == "part" && s[i].likePart() || column == "maker" && s[i].likeMaker()) {
			add(h.Text)
		}
	}
	return out
}
