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

// settle decides what the headers leave open: which of two that mean one column
// is read, and which column a header stands for that may mean several. What
// cannot be decided stays a column of the log's own and is told with its cure.
func (l *Layout) settle(text *sheet.Text, picks Choices) error {
	taken := map[int]int{} // field by column
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
			l.pass(i, []int{h.Match.Column}, taken)
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
			l.pass(i, []int{h.Match.Column}, taken)
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

// suggest says what a header that is not known may mean: the column it is a slip
// of, or those that its known words mean without the others.
func (l *Layout) suggest(i int, taken map[int]int) {
	h := &l.Headings[i]
	if h.Known || h.Text == "" || h.Unsure != "" {
		return
	}
	if near := header.Nearest(h.Text); near != "" {
		if _, have := taken[catalogue.Index(near)]; !have {
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
	var cures []string
	for _, c := range free {
		h.May = append(h.May, catalogue.At(c).Name)
		cures = append(cures, cure(catalogue.At(c).Name, h.Text))
	}
	h.Doubt = problem.Note
	h.Unsure = fmt.Sprintf("may be %s, but %q is no word that is known; it is not used. Say %s", strings.Join(h.May, " or "), strings.Join(unknown, " "), strings.Join(cures, " or "))
}

// pass makes a heading a column of the log's own, since what it means is read
// from another.
func (l *Layout) pass(i int, means []int, taken map[int]int) {
	h := &l.Headings[i]
	h.Known = false
	for _, c := range means {
		if by, ok := taken[c]; ok {
			h.Doubt = problem.Note
			h.Unsure = fmt.Sprintf("looks like %s too, which is read from %q; %s reads this one instead", catalogue.At(c).Name, l.Headings[by].Text, cure(catalogue.At(c).Name, h.Text))
			return
		}
	}
}

// byNumbers decides headings that may mean several columns, those first that
// leave no choice.
func (l *Layout) byNumbers(open []int, s []sample, taken map[int]int) {
	systems := l.systems()
	for again := true; again; {
		again = false
		for at, i := range open {
			h := &l.Headings[i]
			free := l.free(h.Match, taken)
			if h.Match.Both {
				continue
			}
			fitting := slices.DeleteFunc(slices.Clone(free), func(c int) bool { return !s[i].fits(catalogue.At(c), h.Match.Unit, systems) })
			pick, why := -1, ""
			switch {
			case len(fitting) == 1:
				pick, why = fitting[0], l.whyFits(i, s[i], free, fitting[0])
			case l.required(fitting) >= 0:
				pick, why = l.required(fitting), "a log needs one"
			default:
				pick, why = l.byOthers(i, fitting, s)
			}
			if pick >= 0 {
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

// free are the columns a header may mean that no other header is read as.
func (l *Layout) free(m header.Meaning, taken map[int]int) []int {
	all := append([]int{m.Column}, m.Others...)
	return slices.DeleteFunc(all, func(c int) bool { _, ok := taken[c]; return ok })
}

func (l *Layout) whyFits(i int, s sample, free []int, pick int) string {
	h := l.Headings[i]
	if len(h.Match.Others)+1 > len(free) && len(free) == 1 {
		return "the others it may mean stand in columns of their own"
	}
	if !s.numeric() {
		return "it holds words"
	}
	return fmt.Sprintf("its middle value, %g, lies where those do", s.middle())
}

// required is the only column among some that every log needs, -1 for none.
func (l *Layout) required(found []int) int {
	pick := -1
	for _, c := range found {
		if name := catalogue.At(c).Name; name == "maker" || name == "part" {
			if pick >= 0 {
				return -1
			}
			pick = c
		}
	}
	return pick
}

// strip: a media strip is at least this many times as long as it is wide.
const strip = 4

// byOthers decides by the numbers of other columns: the whole filter is heavier
// than any part of it, and a bare length and width, one many times the other,
// are those of the media.
func (l *Layout) byOthers(i int, fitting []int, s []sample) (int, string) {
	name := func(c int) string { return catalogue.At(c).Name }
	has := func(column string) int {
		return slices.IndexFunc(fitting, func(c int) bool { return name(c) == column })
	}
	if at := has("total_mass"); at >= 0 {
		for j, h := range l.Headings {
			if j != i && h.Known && catalogue.At(h.Match.Column).Kind == catalogue.KindMass && !(s[i].middle() > s[j].middle()) {
				return -1, ""
			}
		}
		return fitting[at], "it is the largest of the masses"
	}
	length, width := has("media_length"), has("element_width")
	for j, h := range l.Headings {
		if j == i || !h.Known || !slices.Contains(append([]int{h.Match.Column}, h.Match.Others...), catalogue.Index("element_width")) && length >= 0 {
			continue
		}
		other := s[j].middle()
		if length >= 0 && s[i].middle() >= strip*other && l.sameUnit(i, j) {
			return fitting[length], fmt.Sprintf("it is many times the %q beside it, as of a strip of media", h.Text)
		}
		if width >= 0 && name(h.Match.Column) == "media_length" && other >= strip*s[i].middle() && l.sameUnit(i, j) {
			return fitting[width], fmt.Sprintf("the %q beside it is many times as much, as of a strip of media", h.Text)
		}
	}
	return -1, ""
}

func (l *Layout) sameUnit(i, j int) bool {
	a, _ := units.Find(l.Headings[i].Match.Unit, units.Length)
	b, _ := units.Find(l.Headings[j].Match.Unit, units.Length)
	return a.Symbol == b.Symbol
}

// systems are those of the lengths whose headers name a unit, without gauges,
// which are metric in many a log of inches.
func (l *Layout) systems() []units.System {
	var out []units.System
	for _, h := range l.Headings {
		if !h.Known || catalogue.At(h.Match.Column).Kind != catalogue.KindLength || catalogue.At(h.Match.Column).Thin() {
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

// ask makes a heading a column of the log's own and says what it may be.
func (l *Layout) ask(i int, s sample, taken map[int]int) {
	h := &l.Headings[i]
	may := append([]int{h.Match.Column}, h.Match.Others...)
	free := l.free(h.Match, taken)
	h.Known = false
	if len(free) == 0 {
		l.pass(i, may, taken)
		return
	}
	names := make([]string, len(free))
	cures := make([]string, len(free))
	for k, c := range free {
		names[k], cures[k] = catalogue.At(c).Name, cure(catalogue.At(c).Name, h.Text)
	}
	h.Doubt = problem.Doubtful
	h.May = names
	switch {
	case h.Match.Both && len(free) > 1:
		h.Unsure = fmt.Sprintf("names %s; it is not used. Give each a column of its own, or say %s", strings.Join(names, " and "), strings.Join(cures, " or "))
	case math.IsNaN(s.middle()):
		h.Unsure = fmt.Sprintf("may be %s, and it holds no numbers that tell; it is not used. Say %s", strings.Join(names, " or "), strings.Join(cures, " or "))
	default:
		h.Unsure = fmt.Sprintf("may be %s, and its middle value, %g, does not tell; it is not used. Say %s", strings.Join(names, " or "), s.middle(), strings.Join(cures, " or "))
	}
}

// guess finds headers that may be a column every log needs, by their words and
// by what stands below them, without those guessed for another.
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
