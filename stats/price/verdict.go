package price

import (
	"fmt"
	"math"
	"slices"

	"pleatstat/dataset"
)

// All returns the judgement of every product with a price and a media area, the
// dearest for its contents first, without comparables. With too few products
// they all say so, in order of names.
func (m *Model) All() []Judgement {
	out := make([]Judgement, len(m.usable))
	for k, i := range m.usable {
		if m.standings == nil {
			out[k] = m.tooFew(i)
		} else {
			out[m.rank[k]-1] = m.judge(k)
		}
	}
	if m.standings == nil {
		slices.SortStableFunc(out, func(a, b Judgement) int {
			return compareNames(Product{a.Maker, a.Part}, Product{b.Maker, b.Part})
		})
	}
	return out
}

// Judge returns the judgement of one product, named as in the log. A product
// without a price or an area gets the verdict TooFew and a warning that says
// what is missing. Errors: *UnknownError.
func (m *Model) Judge(maker, part string) (Judgement, error) {
	i := slices.IndexFunc(m.products, func(p product) bool { return p.maker == maker && p.part == part })
	if i < 0 {
		return Judgement{}, m.unknown(maker + " " + part)
	}
	k := m.place[i]
	if m.standings == nil || k < 0 {
		return m.tooFew(i), nil
	}
	j := m.judge(k)
	j.Comparables = m.nearest(m.subject(k))
	j.Warnings = append(j.Warnings, m.warnings...)
	return j, nil
}

// blank is a judgement without numbers.
func blank(maker, part string) Judgement {
	nan := math.NaN()
	return Judgement{
		Maker: maker, Part: part, Paid: nan, Fair: nan, Low80: nan, High80: nan, Low95: nan, High95: nan,
		PremiumRatio: nan, PremiumMoney: nan, ChanceAboveFair: nan, Base: nan, MoneyOf: nan,
		AreaOnly: AreaOnly{Fair: nan, Low95: nan, High95: nan}, Verdict: TooFew,
	}
}

func (m *Model) needs() string {
	return fmt.Sprintf("judging a price needs at least %d products with a price and a media area; the log has %d", leastProducts, len(m.usable))
}

func (m *Model) tooFew(i int) Judgement {
	p := &m.products[i]
	j := blank(p.maker, p.part)
	j.N = len(p.purchases)
	if len(p.purchases) > 0 {
		j.Paid = math.Exp(p.meanPrice())
		j.MoneyOf = p.latest
	}
	switch {
	case len(m.usable) < leastProducts:
		j.Needed = leastProducts
		j.Warnings = append(j.Warnings, m.needs())
	case len(p.purchases) == 0 && math.IsNaN(p.area):
		j.Warnings = append(j.Warnings, "not judged: neither price nor media area is recorded")
	case len(p.purchases) == 0:
		j.Warnings = append(j.Warnings, "not judged: no price is recorded")
	default:
		j.Warnings = append(j.Warnings, "not judged: no media area is recorded")
	}
	return j
}

// subject is a product as it is judged.
type subject struct {
	product  *product
	x        []float64  // standardised contents, the area first, NaN for blanks
	open     openBlanks // what its blanks leave open
	filled   []float64  // x without blanks
	at       []float64  // time basis of the money it is judged in
	when     float64    // the same as a date
	contents standing
	plain    standing
	log      float64 // of the price paid, in that money; NaN without one
	place    int     // in the market, -1 for a part that is not in it
}

func (m *Model) subject(k int) subject {
	p := &m.products[m.usable[k]]
	s := subject{product: p, x: m.coding.row(*p), open: m.filling.open[m.filling.pattern[k]], filled: m.filling.x[k],
		contents: m.standings[k], plain: m.areaOnly[k], when: p.latest, place: k}
	s.at = m.money(p.latest)
	if m.options.ThisYear {
		s.when = m.time.High
		s.at = make([]float64, m.time.Len()) // the basis is 0 there
	}
	s.log = m.expected(s.contents.coef, s) + s.contents.error
	return s
}

// money is the time basis at a date; without one, at the middle of the log.
func (m *Model) money(when float64) []float64 {
	at := make([]float64, m.time.Len())
	if math.IsNaN(when) {
		copy(at, m.middle)
	} else {
		m.time.At(when, at)
	}
	return at
}

func (m *Model) judge(k int) Judgement {
	s := m.subject(k)
	j := m.weigh(s)
	j.Rank, j.Of = m.rank[k], len(m.usable)
	return j
}

// expected is the log price expected of a subject, by coefficients on contents
// or on area alone.
func (m *Model) expected(coef []float64, s subject) float64 {
	sum := coef[0] + coef[1]*(s.product.area-m.coding.area.centre)
	for t, v := range s.at {
		sum += coef[2+t] * v
	}
	for c := range len(coef) - 2 - len(s.at) {
		sum += coef[2+len(s.at)+c] * s.filled[1+c]
	}
	return sum
}

// weigh turns a subject into a judgement, without rank and comparables.
func (m *Model) weigh(s subject) Judgement {
	j := blank(s.product.maker, s.product.part)
	j.N, j.MoneyOf, j.Paid = len(s.product.purchases), s.when, math.Exp(s.log)
	j.Base, j.Contributions = m.contributions(s)
	j.Fair = j.Base
	for _, c := range j.Contributions {
		j.Fair *= c.Factor
	}
	j.Low80, j.High80 = j.Fair*math.Exp(s.contents.low80), j.Fair*math.Exp(s.contents.high80)
	j.Low95, j.High95 = j.Fair*math.Exp(s.contents.low95), j.Fair*math.Exp(s.contents.high95)
	j.AreaOnly.Fair = math.Exp(m.expected(s.plain.coef, s))
	j.AreaOnly.Low95, j.AreaOnly.High95 = j.AreaOnly.Fair*math.Exp(s.plain.low95), j.AreaOnly.Fair*math.Exp(s.plain.high95)
	j.Warnings = m.notes(s)
	if math.IsNaN(j.Paid) {
		return j
	}
	j.PremiumRatio, j.PremiumMoney = j.Paid/j.Fair, j.Paid-j.Fair
	j.ChanceAboveFair = s.contents.chanceBelow(math.Log(j.PremiumRatio))
	j.Verdict = verdict(j)
	return j
}

// verdict says where the price lies: beyond the 95 % range, beyond the 80 %
// range, or inside both.
func verdict(j Judgement) Verdict {
	switch {
	case j.Paid > j.High95:
		return Overpriced
	case j.Paid > j.High80:
		return Dear
	case j.Paid < j.Low95:
		return Bargain
	case j.Paid < j.Low80:
		return Cheap
	}
	return Fair
}

// contributions divides the expected price into that of an average part at the
// end of the log and a factor for each thing known of this one. What a blank
// may be expected to hold, judging by the contents that are recorded, counts
// with those: a content that is not recorded has the factor 1.
func (m *Model) contributions(s subject) (base float64, out []Contribution) {
	coef := s.contents.coef
	terms := len(s.at)
	base = coef[0]
	effect := make([]float64, len(s.filled)) // of each known column, the area first
	effect[0] = coef[1] * (s.product.area - m.coding.area.centre)
	mean := m.filling.mean
	for c := range len(effect) - 1 {
		b := coef[2+terms+c]
		base += b * mean[1+c]
		if !math.IsNaN(s.x[1+c]) {
			effect[1+c] += b * (s.x[1+c] - mean[1+c])
		}
	}
	for a, j := range s.open.blank {
		for k, known := range s.open.known {
			if s.open.slopes != nil {
				effect[known] += coef[1+terms+j] * s.open.slopes.At(a, k) * (s.x[known] - mean[known])
			}
		}
	}
	out = append(out, Contribution{Content: "media_area", Value: number(math.Exp(s.product.area)), Factor: math.Exp(effect[0])})
	for c, col := range m.coding.columns {
		if len(out) == 1 || out[len(out)-1].Content != col.content {
			out = append(out, Contribution{Content: col.content, Value: m.value(col, s.product), Factor: 1})
		}
		out[len(out)-1].Factor *= math.Exp(effect[1+c])
	}
	if m.time.High > m.time.Low {
		rise := 0.0
		for t, v := range s.at {
			rise += coef[2+t] * v
		}
		out = append(out, Contribution{Content: "opened", Value: m.date(s), Factor: math.Exp(rise)})
	}
	return math.Exp(base), out
}

func number(v float64) string { return fmt.Sprintf("%.6g", v) }

// value is a content as recorded.
func (m *Model) value(col column, p *product) string {
	if col.number >= 0 {
		if v := p.numbers[col.number]; !math.IsNaN(v) {
			return number(math.Exp(v))
		}
	} else if w := p.words[col.word]; w != "" {
		return w
	}
	return notRecorded
}

// date is the day whose money is spoken.
func (m *Model) date(s subject) string {
	if math.IsNaN(s.when) {
		return notRecorded
	}
	if s.product.precision == "year" && !m.options.ThisYear {
		return fmt.Sprintf("year %d", int(s.when))
	}
	return dataset.FormatOpened(s.when, "month")
}

// notes are the warnings that concern one product.
func (m *Model) notes(s subject) []string {
	var out []string
	if n := s.product.slips; n > 0 {
		out = append(out, fmt.Sprintf("%d of its prices more than 3 times off the middle of the others: left out", n))
	}
	if math.IsNaN(s.when) && m.time.High > m.time.Low {
		out = append(out, "no date is recorded: judged against the middle of the log's years")
	}
	blanks := map[string]bool{}
	contents := map[string]bool{}
	for c, col := range m.coding.columns {
		contents[col.content] = true
		if math.IsNaN(s.x[1+c]) {
			blanks[col.content] = true
		}
	}
	if len(blanks)*2 > len(contents) {
		out = append(out, fmt.Sprintf("%d of %d contents are not recorded, which widens the range", len(blanks), len(contents)))
	}
	return out
}
