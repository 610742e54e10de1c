package comparison

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/compare"
)

// differenceWords holds the words for a difference in a measure: more or less by an amount, or
// the most of several products.
type differenceWords struct{ column, more, less, most string }

// teardownOrder lists the measures in the order of a teardown. The first one of a group that
// differs makes the group's sentence.
var teardownOrder = []differenceWords{
	{"price", "%s costs %s more", "%s costs %s less", "%s costs most"},
	{"price_per_area", "%s costs %s more for its media", "%s costs %s less for its media", "%s costs most for its media"},
	{"price_per_100g", "%s costs %s more for its weight", "%s costs %s less for its weight", "%s costs most for its weight"},
	{"media_area", "%s has %s more media", "%s has %s less media", "%s has the most media"},
	{"pleats", "%s has %s more", "%s has %s fewer", "%s has the most pleats"},
	{"media_length", "%s's media is longer by %s", "%s's media is shorter by %s", "%s's media is the longest"},
	{"media_mass", "%s's media is heavier by %s", "%s's media is lighter by %s", "%s's media is the heaviest"},
	{"pleat_depth", "%s's pleats are deeper by %s", "%s's pleats are shallower by %s", "%s's pleats are the deepest"},
	{"grammage", "%s's media weighs %s more", "%s's media weighs %s less", "%s's media is the heaviest for its size"},
	{"element_width", "%s's element is wider by %s", "%s's element is narrower by %s", "%s's element is the widest"},
	{"can_gauge", "%s's is thicker by %s", "%s's is thinner by %s", "%s's is the thickest"},
	{"can_mass", "%s's is heavier by %s", "%s's is lighter by %s", "%s's is the heaviest"},
	{"can_height", "%s's is taller by %s", "%s's is shorter by %s", "%s's is the tallest"},
	{"can_od", "%s's is wider by %s", "%s's is narrower by %s", "%s's is the widest"},
	{"base_plate_gauge", "%s's plate is thicker by %s", "%s's plate is thinner by %s", "%s's plate is the thickest"},
	{"base_plate_mass", "%s's plate is heavier by %s", "%s's plate is lighter by %s", "%s's plate is the heaviest"},
	{"inlet_open_area", "%s's inlet is larger by %s", "%s's inlet is smaller by %s", "%s's inlet is the largest"},
	{"inlet_holes", "%s has %s more", "%s has %s fewer", "%s has the most inlet holes"},
	{"total_mass", "%s is heavier by %s altogether", "%s is lighter by %s altogether", "%s is the heaviest altogether"},
}

// place returns the index of a column in teardownOrder, its length for any other column.
func place(column string) int {
	if i := slices.IndexFunc(teardownOrder, func(s differenceWords) bool { return s.column == column }); i >= 0 {
		return i
	}
	return len(teardownOrder)
}

func comparedAs(column string) differenceWords {
	if i := place(column); i < len(teardownOrder) {
		return teardownOrder[i]
	}
	w := catalogue.Words(column)
	if wording.Counts(column) {
		return differenceWords{column, "%s has %s more", "%s has %s fewer", "%s has the most " + w}
	}
	return differenceWords{column, "%s's " + w + " is more by %s", "%s's " + w + " is less by %s", "%s's " + w + " is the most"}
}

// groupVerdict returns the sentence on a group, and the evidence for it.
func groupVerdict(c *compare.Comparison, g compare.Group, u dataset.Units) (sentence, evidence string) {
	var differ []compare.Measure
	marks := map[string]bool{}
	for _, m := range c.Measures {
		if m.Group != g {
			continue
		}
		marks[mark(m)] = true
		if mark(m) == markDiffers {
			differ = append(differ, m)
		}
	}
	switch {
	case len(marks) == 0:
		return groupTitle(g) + ": not measured in more than one.", ""
	case len(marks) == 1 && marks[markSame]:
		return groupTitle(g) + ": " + theSame(c, g), ""
	case len(marks) == 1 && marks[markUnknown]:
		return groupTitle(g) + ": whether they differ can't be told.", ""
	case len(differ) == 0:
		return groupTitle(g) + ": no difference shown.", ""
	}
	slices.SortStableFunc(differ, func(a, b compare.Measure) int { return place(a.Column) - place(b.Column) })
	m := differ[0]
	if len(c.Products) == 2 {
		return groupTitle(g) + ": " + ofTwo(c.Kind, m, u) + ".", evidenceOf(c.Kind, m, u)
	}
	return groupTitle(g) + ": " + ofMany(m, u) + ".", evidenceOf(c.Kind, m, u)
}

// theSame states that a group is the same, limited to what was measured of all products
// if some of it was not.
func theSame(c *compare.Comparison, g compare.Group) string {
	some := slices.ContainsFunc(c.Only, func(o compare.Only) bool { return compare.GroupOf(o.Column) == g })
	for _, m := range c.Measures {
		some = some || m.Group == g && slices.ContainsFunc(m.Values, func(v compare.Value) bool { return v.N == 0 })
	}
	for _, w := range c.Words {
		some = some || w.Group == g && slices.ContainsFunc(w.Values, func(words []string) bool { return len(words) == 0 })
	}
	switch {
	case !some:
		return "the same."
	case c.Kind == compare.OfTimes:
		return "what was measured both times is the same."
	case len(c.Products) == 2:
		return "what was measured of both is the same."
	}
	return "what was measured of more than one is the same."
}

// ofTwo states by how much the larger of two products exceeds the other (of one part at
// two times: how it is now), and how large a difference chance or the bench alone could
// make.
func ofTwo(kind compare.Kind, m compare.Measure, u dataset.Units) string {
	d, words := m.Differences[0], comparedAs(m.Column)
	who, form, ratio := letter(1), words.more, d.Ratio
	switch {
	case kind == compare.OfTimes && d.By < 0:
		form = words.less
	case d.By < 0:
		who, ratio = letter(0), 1/d.Ratio
	}
	s := fmt.Sprintf(form, who, amount(u, m, d))
	if kind == compare.OfTimes {
		s = strings.NewReplacer(who+"'s is", "now", who+"'s", "now the", who, "now it").Replace(s)
	}
	s += moreBy(ratio)
	if l := limitInWords(kind, m, d, u); l != "" {
		s += "; " + l
	}
	return s
}

// ofMany names the product with the most or, if that is not certain, those that differ
// from the first.
func ofMany(m compare.Measure, u dataset.Units) string {
	words := comparedAs(m.Column)
	if m.Most >= 0 {
		return fmt.Sprintf(words.most, letter(m.Most)) + ", " + wording.WholeThings(m.Column, wording.Quantity(u, m.Column, m.Values[m.Most].Mean))
	}
	var each []string
	for i, d := range m.Differences {
		if !d.Beyond {
			continue
		}
		form, first := words.more, letter(0)
		if d.By < 0 {
			form = words.less
		}
		if strings.Contains(form, "'s") {
			first += "'s"
		}
		each = append(each, fmt.Sprintf(form, letter(i+1), amount(u, m, d))+" than "+first)
	}
	return wording.Joined(each)
}

// amount returns the size of a difference, with at most one decimal more than readings
// have; counts are whole.
func amount(u dataset.Units, m compare.Measure, d compare.Difference) string {
	by := math.Abs(d.By)
	if c := catalogue.Facts(m.Column); wording.Counts(m.Column) {
		n, one, many := int(math.Round(by)), c.One, c.Many
		if n == 0 {
			return "less than one of its " + many
		}
		if n == 1 {
			return "one " + one
		}
		return wording.Spelt(n) + wording.NBSP + many
	}
	if m.Column == "price" {
		return wording.Money(u, by)
	}
	unit := u.Of(m.Column)
	return wording.Precise(u, m.Column, by, min(wording.DecimalsFor(d.Limit*unit.PerBase), wording.DecimalsFor(by*unit.PerBase), unit.Decimals+1))
}

// moreBy returns the size of a difference as a share of the other product, to follow the
// amount.
func moreBy(ratio float64) string {
	share := math.Abs(ratio - 1)
	switch {
	case !(share > 0.005) || math.IsInf(ratio, 0):
		return ""
	case ratio >= 1.95:
		return ", " + wording.Fixed(ratio, 1) + wording.NBSP + "times as much"
	}
	by := shareInWords(share)
	if by == "half" {
		by = "by half"
	}
	return ", " + by
}

// limitInWords states how large a difference chance or the bench alone could make, "" if no
// limit is known.
func limitInWords(kind compare.Kind, m compare.Measure, d compare.Difference, u dataset.Units) string {
	switch {
	case !(d.Limit > 0):
		return ""
	case m.Basis == compare.ByOpenings && kind == compare.OfMakers:
		return "which parts they happen to be could make " + limitOf(u, m, d.Limit)
	case m.Basis == compare.ByOpenings && m.Group == compare.OfPrice:
		return "prices of one part alone could make " + limitOf(u, m, d.Limit)
	case m.Basis == compare.ByOpenings && !(d.BenchLimit >= d.Limit):
		return "specimens alone could make " + limitOf(u, m, d.Limit)
	}
	return "the bench tells " + limitOf(u, m, d.Limit) + " apart"
}

// limitOf returns a limit with one digit, or two if it starts with 1 or 2.
func limitOf(u dataset.Units, m compare.Measure, limit float64) string {
	unit := u.Of(m.Column)
	if catalogue.Facts(m.Column).Kind == catalogue.KindMoney {
		return wording.Quantity(u, m.Column, math.Max(limit, math.Pow(10, -float64(unit.Decimals))/unit.PerBase))
	}
	if c := catalogue.Facts(m.Column); wording.Counts(m.Column) {
		return wording.Rounded(limit) + wording.NBSP + c.Many
	}
	return wording.Unbroken(strings.TrimSpace(wording.Rounded(limit*unit.PerBase) + " " + unit.Symbol))
}

// evidenceOf returns the evidence for a difference, in short.
func evidenceOf(kind compare.Kind, m compare.Measure, u dataset.Units) string {
	one, many := "opening", "openings"
	if kind == compare.OfMakers {
		one, many = "part", "parts"
	}
	var say []string
	if m.Column == "price" && kind != compare.OfMakers {
		return lastPrices(m, u)
	}
	for k, v := range m.Values {
		if v.N > 0 {
			say = append(say, letter(k)+" "+wording.WholeThings(m.Column, wording.Quantity(u, m.Column, v.Mean))+", "+wording.Counted(v.N, one, many))
		}
	}
	if kind != compare.OfMakers && len(m.Values) == 2 && m.Basis == compare.ByOpenings && m.Differences[0].BenchLimit > 0 && m.Differences[0].BenchLimit < m.Differences[0].Limit {
		say = append(say, "the bench tells "+limitOf(u, m, m.Differences[0].BenchLimit)+" apart")
	}
	return strings.Join(say, "; ")
}

// lastPrices returns the last price paid for each part, and over how many openings the
// prices were compared.
func lastPrices(m compare.Measure, u dataset.Units) string {
	var say, counts []string
	for k, v := range m.Values {
		if v.N > 0 {
			say, counts = append(say, letter(k)+" "+wording.Quantity(u, m.Column, v.Mean)), append(counts, wording.Thousands(v.N))
		}
	}
	return wording.Joined(say) + " last paid; compared over " + wording.Joined(counts) + " openings"
}

// shareInWords returns a share as a fraction in words, "a tenth", if one is within 15 % of
// it, or else in per cent.
func shareInWords(share float64) string {
	words, nearest := wording.Percent(share), 0.15
	for _, f := range []struct {
		share float64
		words string
	}{{1. / 2, "half"}, {1. / 3, "a third"}, {1. / 4, "a quarter"}, {1. / 5, "a fifth"}, {1. / 10, "a tenth"}, {1. / 20, "a twentieth"}} {
		if off := math.Abs(share/f.share - 1); off < nearest {
			words, nearest = f.words, off
		}
	}
	return words
}
