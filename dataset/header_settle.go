package dataset

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/dataset/internal/sheet"
	"pleatstat/dataset/internal/units"
)

// settle decides what the headers leave open: which of two that mean one column
// is read, and which column a header stands for that may mean several. What
// cannot be decided stays a column of the log's own and is told with its cure.
func (l *layout) settle(text *sheet.Text, picks headerChoices) error {
	taken := map[int]int{} // field by column
	for i := range l.headings {
		if h := &l.headings[i]; h.picked {
			taken[h.match.column] = i
		}
	}
	for i := range l.headings {
		h := &l.headings[i]
		if !h.known || h.picked || h.match.loose {
			continue
		}
		if by, ok := taken[h.match.column]; ok && l.headings[by].picked {
			l.pass(i, []int{h.match.column}, taken)
		} else if !ok {
			taken[h.match.column] = i
		}
	}
	var open []int
	for i := range l.headings {
		h := &l.headings[i]
		_, have := taken[h.match.column]
		switch {
		case !h.known || h.picked || !h.match.loose:
		case len(h.match.others) > 0:
			open = append(open, i)
		case have:
			l.pass(i, []int{h.match.column}, taken)
		default:
			taken[h.match.column] = i
		}
	}
	if len(open) > 0 {
		s, err := l.samples(text)
		if err != nil {
			return err
		}
		l.byNumbers(open, s, taken)
	}
	for i := range l.headings {
		l.suggest(i, taken)
	}
	return picks.missing(l)
}

// suggest says what a header that is not known may mean: the column it is a slip
// of, or those that its known words mean without the others.
func (l *layout) suggest(i int, taken map[int]int) {
	h := &l.headings[i]
	if h.known || h.text == "" || h.unsure != "" {
		return
	}
	if near := nearest(h.text); near != "" {
		if _, have := taken[Index(near)]; !have {
			h.may = []string{near}
		}
		return
	}
	m, unknown, ok := combineKnown(h.text)
	if !ok || m.both {
		return
	}
	free := l.free(m, taken)
	if len(free) == 0 || len(free) > 3 {
		return
	}
	var cures []string
	for _, c := range free {
		h.may = append(h.may, At(c).Name)
		cures = append(cures, cure(At(c).Name, h.text))
	}
	h.doubt = Note
	h.unsure = fmt.Sprintf("may be %s, but %q is no word that is known; it is not used. Say %s", strings.Join(h.may, " or "), strings.Join(unknown, " "), strings.Join(cures, " or "))
}

// pass makes a heading a column of the log's own, since what it means is read
// from another.
func (l *layout) pass(i int, means []int, taken map[int]int) {
	h := &l.headings[i]
	h.known = false
	for _, c := range means {
		if by, ok := taken[c]; ok {
			h.doubt = Note
			h.unsure = fmt.Sprintf("looks like %s too, which is read from %q; %s reads this one instead", At(c).Name, l.headings[by].text, cure(At(c).Name, h.text))
			return
		}
	}
}

// byNumbers decides headings that may mean several columns, those first that
// leave no choice.
func (l *layout) byNumbers(open []int, s []sample, taken map[int]int) {
	systems := l.systems()
	for again := true; again; {
		again = false
		for at, i := range open {
			h := &l.headings[i]
			free := l.free(h.match, taken)
			if h.match.both {
				continue
			}
			fitting := slices.DeleteFunc(slices.Clone(free), func(c int) bool { return !s[i].fits(At(c), h.match.unit, systems) })
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
				h.match.column, h.match.others, h.why = pick, nil, why
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
func (l *layout) free(m match, taken map[int]int) []int {
	all := append([]int{m.column}, m.others...)
	return slices.DeleteFunc(all, func(c int) bool { _, ok := taken[c]; return ok })
}

func (l *layout) whyFits(i int, s sample, free []int, pick int) string {
	h := l.headings[i]
	if len(h.match.others)+1 > len(free) && len(free) == 1 {
		return "the others it may mean stand in columns of their own"
	}
	if !s.numeric() {
		return "it holds words"
	}
	return fmt.Sprintf("its middle value, %g, lies where those do", s.middle())
}

// required is the only column among some that every log needs, -1 for none.
func (l *layout) required(found []int) int {
	pick := -1
	for _, c := range found {
		if name := At(c).Name; name == "maker" || name == "part" {
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
func (l *layout) byOthers(i int, fitting []int, s []sample) (int, string) {
	name := func(c int) string { return At(c).Name }
	has := func(column string) int {
		return slices.IndexFunc(fitting, func(c int) bool { return name(c) == column })
	}
	if at := has("total_mass"); at >= 0 {
		for j, h := range l.headings {
			if j != i && h.known && At(h.match.column).Kind == KindMass && !(s[i].middle() > s[j].middle()) {
				return -1, ""
			}
		}
		return fitting[at], "it is the largest of the masses"
	}
	length, width := has("media_length"), has("element_width")
	for j, h := range l.headings {
		if j == i || !h.known || !slices.Contains(append([]int{h.match.column}, h.match.others...), Index("element_width")) && length >= 0 {
			continue
		}
		other := s[j].middle()
		if length >= 0 && s[i].middle() >= strip*other && l.sameUnit(i, j) {
			return fitting[length], fmt.Sprintf("it is many times the %q beside it, as of a strip of media", h.text)
		}
		if width >= 0 && name(h.match.column) == "media_length" && other >= strip*s[i].middle() && l.sameUnit(i, j) {
			return fitting[width], fmt.Sprintf("the %q beside it is many times as much, as of a strip of media", h.text)
		}
	}
	return -1, ""
}

func (l *layout) sameUnit(i, j int) bool {
	a, _ := units.Find(l.headings[i].match.unit, units.Length)
	b, _ := units.Find(l.headings[j].match.unit, units.Length)
	return a.Symbol == b.Symbol
}

// systems are those of the lengths whose headers name a unit, without gauges,
// which are metric in many a log of inches.
func (l *layout) systems() []units.System {
	var out []units.System
	for _, h := range l.headings {
		if !h.known || At(h.match.column).Kind != KindLength || At(h.match.column).Thin() {
			continue
		}
		if u, ok := units.Find(h.match.unit, units.Length); ok && !slices.Contains(out, u.System) {
			out = append(out, u.System)
		}
	}
	if len(out) > 1 {
		return nil
	}
	return out
}

// ask makes a heading a column of the log's own and says what it may be.
func (l *layout) ask(i int, s sample, taken map[int]int) {
	h := &l.headings[i]
	may := append([]int{h.match.column}, h.match.others...)
	free := l.free(h.match, taken)
	h.known = false
	if len(free) == 0 {
		l.pass(i, may, taken)
		return
	}
	names := make([]string, len(free))
	cures := make([]string, len(free))
	for k, c := range free {
		names[k], cures[k] = At(c).Name, cure(At(c).Name, h.text)
	}
	h.doubt = Doubtful
	h.may = names
	switch {
	case h.match.both && len(free) > 1:
		h.unsure = fmt.Sprintf("names %s; it is not used. Give each a column of its own, or say %s", strings.Join(names, " and "), strings.Join(cures, " or "))
	case math.IsNaN(s.middle()):
		h.unsure = fmt.Sprintf("may be %s, and it holds no numbers that tell; it is not used. Say %s", strings.Join(names, " or "), strings.Join(cures, " or "))
	default:
		h.unsure = fmt.Sprintf("may be %s, and its middle value, %g, does not tell; it is not used. Say %s", strings.Join(names, " or "), s.middle(), strings.Join(cures, " or "))
	}
}

// guess finds headers that may be a column every log needs, by their words and
// by what stands below them, without those guessed for another.
func (l *layout) guess(text *sheet.Text, column string, had []Choice) []string {
	var out []string
	add := func(header string) {
		taken := slices.ContainsFunc(had, func(c Choice) bool { return c.Header == header })
		if header != "" && !taken && !slices.Contains(out, header) && len(out) < 2 {
			out = append(out, header)
		}
	}
	for _, h := range l.headings {
		if !h.known && mayName(h.text, column) {
			add(h.text)
		}
	}
	s, err := l.samples(text)
	if err != nil {
		return out
	}
	for i, h := range l.headings {
		if !h.known && (column == "part" && s[i].likePart() || column == "maker" && s[i].likeMaker()) {
			add(h.text)
		}
	}
	return out
}
