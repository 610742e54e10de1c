package roundup

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"unicode"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/dataset/catalogue"
	"pleatstat/stats/num"
	"pleatstat/stats/panel"
	"pleatstat/stats/trend"
)

const (
	// clearChange is the false discovery rate of clear changes over all parts and
	// measures compared.
	clearChange = trend.FalseDiscoveryRate
	// secondLook is the p up to which a change that is not clear is worth a second
	// look: it lies outside its own range.
	secondLook = trend.ByChance
)

// compared lists the measures of a part that are compared with earlier openings;
// only recorded ones, so that one change is not reported twice.
var compared = []struct {
	measure  string
	relative bool
}{
	{"price", true}, {"total_mass", true}, {"can_mass", true}, {"can_gauge", false}, {"base_plate_gauge", false},
	{"base_plate_mass", true}, {"pleats", false}, {"element_width", true}, {"media_length", true}, {"media_mass", true},
	{"media_thickness", false}, {"inlet_holes", false},
}

// categories lists the categories of a part that are compared with earlier
// openings.
var categories = []string{"media_type", "end_caps", "core", "seam", "bypass", "bypass_spring", "drain_back", "magnet", "origin"}

// reopened compares each part's openings of the year with those of its last
// earlier year, relative to the difference that openings of one part usually show.
// The p values are corrected over all comparisons (Benjamini–Hochberg).
func (b *bench) reopened() (Reopened, error) {
	var r Reopened
	for _, p := range b.products {
		if b.openedIn(p, b.thisYear) && b.openedIn(p, b.earlier) {
			r.Products++
		}
	}
	all, err := b.comparisons()
	if err != nil {
		return r, err
	}
	r.Comparisons = len(all)
	for _, c := range all {
		if c.Clear || c.P <= secondLook {
			r.Changes = append(r.Changes, c)
		}
	}
	r.Chance = secondLook * float64(len(all))
	slices.SortStableFunc(r.Changes, func(a, b Change) int {
		return cmp.Or(cmp.Compare(a.P, b.P), cmp.Compare(a.Maker, b.Maker), cmp.Compare(a.Part, b.Part)) // q rises with p
	})
	r.Words = b.wordChanges()
	return r, nil
}

// comparisons returns the comparison of every measure of every part opened again,
// whatever its outcome.
func (b *bench) comparisons() ([]Change, error) {
	var all []Change
	tail := b.tailDF()
	for _, c := range compared {
		all = append(all, b.changesOf(c.measure, c.relative, tail)...)
	}
	ps := make([]float64, len(all))
	for i, c := range all {
		ps[i] = c.P
	}
	qs, err := num.BenjaminiHochberg(ps)
	if err != nil {
		return nil, err
	}
	for i := range all {
		all[i].Q = qs[i]
		all[i].Clear = qs[i] <= clearChange
	}
	return all, nil
}

func (b *bench) earlier(o opening) bool {
	if b.today != nil {
		return b.today.before(o)
	}
	return o.year < b.year
}

func (b *bench) openedIn(p product, in func(opening) bool) bool {
	return slices.ContainsFunc(p.openings, func(i int) bool { return in(b.rows[i]) })
}

// tailDF estimates the degrees of freedom of the tails of the noise between
// openings of one product, over all compared measures together: see panel.TailDF.
func (b *bench) tailDF() float64 {
	if b.today != nil {
		b.today.tail.Do(func() { b.today.tailDF = b.findTailDF() })
		return b.today.tailDF
	}
	return b.findTailDF()
}

func (b *bench) findTailDF() float64 {
	var sizes []float64
	for _, c := range compared {
		values := b.values(c.measure)
		step := b.log.Resolution(c.measure)
		if c.relative {
			step /= num.Median(num.Finite(values))
			values = logs(values)
		}
		sizes = append(sizes, panel.SuccessiveScatter(b.upToYear(values)).TailSizes(step)...)
	}
	return panel.TailDF(sizes)
}

// changesOf compares one measure of every part opened again.
func (b *bench) changesOf(measure string, relative bool, tail float64) []Change {
	of := b.comparedBy(measure, relative, tail)
	scaled, noise, rise := of.scaled, of.noise, of.rise
	if !(noise.SD > 0) || noise.DF <= 0 {
		return nil
	}
	step := b.log.Resolution(measure)
	var out []Change
	for _, p := range b.compared() {
		was, now := b.againstBefore(p, scaled)
		if was.n == 0 {
			continue
		}
		years := now.when - was.when
		d, se := now.value-was.value, noise.SD*differenceSD(now.n, was.n)
		half := of.errors * se
		c := Change{Maker: p.maker, Part: p.part, Measure: measure, Relative: relative, Since: was.year, Before: was.value, Now: now.value,
			NBefore: was.n, N: now.n, Lines: now.lines, Difference: d, Low: d - half, High: d + half,
			AboveMarket: rise != 0, MarketFactor: math.Exp(rise * years),
			P: 2 * of.student.Survival(math.Abs(d-rise*years)/se)}
		if relative {
			c.Before, c.Now = math.Exp(was.value), math.Exp(now.value)
			c.Difference, c.Low, c.High = math.Expm1(c.Difference), math.Expm1(c.Low), math.Expm1(c.High)
		} else if step > 0 && math.Abs(d) < step*(1-1e-9) {
			c.P = 1 // less than one reading step
		}
		out = append(out, c)
	}
	return out
}

// comparing holds what the comparisons of one measure share.
type comparing struct {
	scaled []float64
	noise  Noise
	rise   float64 // of log prices a year; 0 for other measures

	student distuv.StudentsT // distribution of a difference divided by its standard error
	errors  float64          // half-width of an interval, in standard errors
}

func (b *bench) comparedBy(measure string, relative bool, tail float64) comparing {
	if b.today != nil { // computed once and reused for every opening
		if known, ok := b.today.compared[measure]; ok {
			return known
		}
	}
	c := comparing{scaled: b.values(measure)}
	if relative {
		c.scaled = logs(c.scaled)
	}
	c.noise = b.noiseOf(c.scaled, b.benchFloor(measure, relative))
	if measure == "price" && c.noise.SD > 0 {
		c.rise = panel.SuccessiveScatter(b.upToYear(c.scaled)).Rise
	}
	if c.noise.SD > 0 && c.noise.DF > 0 {
		c.student = distuv.StudentsT{Mu: 0, Sigma: 1, Nu: math.Min(c.noise.DF, tail)}
		c.errors = c.student.Quantile((1 + confidence) / 2)
	}
	if b.today != nil {
		b.today.compared[measure] = c
	}
	return c
}

// wordChanges lists the categories that differ from the last earlier opening.
func (b *bench) wordChanges() []WordChange {
	var out []WordChange
	for _, column := range categories {
		if _, place := b.log.Header(column); place == 0 {
			continue
		}
		word := func(i int) string { return b.log.Word(b.rows[i].row, column) }
		for _, p := range b.compared() {
			was, now := -1, -1
			for _, i := range p.openings {
				o := b.rows[i]
				if word(i) == "" || o.rests([]string{column}) {
					continue
				}
				if b.thisYear(o) {
					now = i
				} else if b.earlier(o) {
					was = i
				}
			}
			if was < 0 || now < 0 || !differ(column, word(was), word(now)) {
				continue
			}
			out = append(out, WordChange{Maker: p.maker, Part: p.part, Measure: column, Since: b.rows[was].year,
				Before: word(was), Now: word(now), Lines: []int{b.rows[now].line}})
		}
	}
	return out
}

// differ reports whether two words have different meanings: categories by the
// value they were read as (never an unknown one), names of countries by their
// letters.
func differ(column, a, b string) bool {
	c := catalogue.Facts(column)
	if c.Kind == catalogue.KindCategory {
		return a != b && slices.Contains(c.Categories, a) && slices.Contains(c.Categories, b)
	}
	letters := func(s string) string {
		return strings.Map(func(r rune) rune {
			if unicode.IsLetter(r) || unicode.IsDigit(r) {
				return unicode.ToLower(r)
			}
			return -1
		}, s)
	}
	return letters(a) != letters(b)
}
