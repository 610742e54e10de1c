package price

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/hedonic"
	"pleatstat/stats/imputation"
	"pleatstat/stats/trend"
)

// All returns the judgement of every product with a price and a media area,
// dearest for its contents first, without comparables. With too few products
// every judgement says so, and they are sorted by name.
func (m *Model) All() []Judgement {
	out := make([]Judgement, len(m.usable))
	for k, i := range m.usable {
		if m.crossValidated == nil {
			out[k] = m.cannotSay(i)
		} else {
			out[m.rank[k]-1] = m.judged[k]
		}
	}
	if m.crossValidated == nil {
		slices.SortStableFunc(out, func(a, b Judgement) int {
			return compareNames(Product{a.Maker, a.Part}, Product{b.Maker, b.Part})
		})
	}
	return out
}

// Verdicts returns the verdict on every product of the log: those judged, dearest
// for their contents first, then the others by name.
func (m *Model) Verdicts() []Verdict {
	out := make([]Verdict, len(m.usable), len(m.products))
	var rest []Verdict
	for i := range m.products {
		switch k := m.place[i]; {
		case k < 0 || m.crossValidated == nil:
			rest = append(rest, m.cannotSay(i).Verdict)
		default:
			out[m.rank[k]-1] = m.judged[k].Verdict
		}
	}
	if m.crossValidated == nil {
		out = out[:0]
	}
	slices.SortStableFunc(rest, func(a, b Verdict) int {
		return compareNames(Product{a.Maker, a.Part}, Product{b.Maker, b.Part})
	})
	return append(out, rest...)
}

// Judge returns the judgement of one product, named as in the log. A product
// without a price or an area gets the grade CannotSay and a warning on what is
// missing. Errors: *UnknownError.
func (m *Model) Judge(maker, part string) (Judgement, error) {
	i := slices.IndexFunc(m.products, func(p product) bool { return p.named(maker, part) })
	if i < 0 {
		return Judgement{}, m.unknown(maker + " " + part)
	}
	k := m.place[i]
	if m.crossValidated == nil || k < 0 {
		return m.cannotSay(i), nil
	}
	j := m.judged[k]
	j.Comparables, j.Mount = m.nearest(m.subject(k)), m.products[i].mount()
	j.Warnings = append(j.Warnings, m.warnings...)
	return j, nil
}

// Flags lists the points of a trend of prices whose verdict is clear or probable,
// and those with a hint that lie outside the trend's prediction range on the same
// side.
func (m *Model) Flags(t *trend.Trend) []trend.Flag {
	if t.TooFew || m.crossValidated == nil {
		return nil
	}
	places := map[Product]int{}
	for k, i := range m.usable {
		places[Product{m.products[i].maker, m.products[i].part}] = k
	}
	var out []trend.Flag
	for i, p := range t.Points {
		k, ok := places[Product{p.Maker, p.Part}]
		if !ok || t.Per == trend.PerOpening && p.Lines[0] != m.log.Line(m.products[m.usable[k]].last().row) {
			continue
		}
		v, e := m.judged[k].Verdict, t.Evidence(i)
		kind := trend.Overpriced
		if v.Direction == Below {
			kind = trend.Bargain
		}
		if v.Off() && (v.Grade != trend.Hint || e.Side() != 0 && e.Side() > 0 == (kind == trend.Overpriced)) {
			out = append(out, t.Flag(i, kind, v.Grade, e.Tail))
		}
	}
	trend.SortFlags(out)
	return out
}

// blank returns a judgement without numbers.
func blank(maker, part string) Judgement {
	nan := math.NaN()
	return Judgement{
		Verdict: Verdict{Maker: maker, Part: part, Grade: trend.CannotSay, Price: nan, Paid: nan, Fair: nan, Low: nan, High: nan,
			Ratio: nan, MoneyAbove: nan, ByArea: noEvidence(), ByInside: noEvidence()},
		Low80: nan, High80: nan, UsualLow: nan, UsualHigh: nan, ShareBelow: nan, Base: nan,
	}
}

func (m *Model) needs() string {
	return fmt.Sprintf("judging a price needs at least %d products with a price and a media area; the log has %d", LeastProducts, len(m.usable))
}

// cannotSay returns the judgement of a product that cannot be judged.
func (m *Model) cannotSay(i int) Judgement {
	p := &m.products[i]
	j := blank(p.maker, p.part)
	if len(p.purchases) > 0 {
		m.setPrice(&j.Verdict, p, p.last().log+m.carry(p.last().when))
	}
	switch {
	case len(p.purchases) == 0 && math.IsNaN(p.area):
		j.Why = "not judged: neither price nor media area is recorded"
	case len(p.purchases) == 0:
		j.Why = "not judged: no price is recorded"
	case math.IsNaN(p.area):
		j.Why = "not judged: no media area is recorded"
	default:
		j.Needed, j.Why = LeastProducts, m.needs()
	}
	j.Warnings = []string{j.Why}
	return j
}

// setPrice sets what was paid, and its value in the money of the last opening.
func (m *Model) setPrice(v *Verdict, p *product, log float64) {
	v.Price = math.Exp(log)
	if !math.IsNaN(m.MoneyOf()) {
		v.MoneyOf = dataset.FormatOpened(m.MoneyOf(), "month")
	}
	if len(p.purchases) == 0 {
		return
	}
	last := p.last()
	v.Paid, v.N, v.Lines = math.Exp(last.log), len(p.purchases), p.lines()
	if _, precision, ok := p.log.Opened(last.row); ok {
		v.PriceDate = dataset.FormatOpened(last.when, precision)
	}
}

// subject is a product to be judged.
type subject struct {
	product  *product
	x        []float64              // standardised contents, the area first, NaN for missing values
	open     imputation.Conditional // conditional distribution of the missing values
	filled   []float64              // x with missing values imputed
	contents hedonic.LeftOut
	log      float64 // log of the price judged; NaN without one
	place    int     // index into Model.usable, -1 for a part that is not in the log
}

func (m *Model) subject(k int) subject {
	p := &m.products[m.usable[k]]
	return subject{product: p, x: m.coding.row(*p), open: m.imputed.Open[m.imputed.Pattern[k]], filled: m.imputed.X[k],
		contents: m.crossValidated[k], log: p.last().log + m.carry(p.last().when), place: k}
}

// judgeAll judges every usable product.
func (m *Model) judgeAll() {
	for _, i := range m.usable {
		m.areas = append(m.areas, m.products[i].area)
	}
	slices.Sort(m.areas)
	m.judged = make([]Judgement, len(m.usable))
	for k := range m.judged {
		j := m.weigh(m.subject(k), m.againstArea(k), m.contents[k])
		j.Rank, j.Of, j.Warnings = m.rank[k], len(m.usable), slices.Clip(j.Warnings)
		m.judged[k] = j
	}
}

// expected returns the log price expected of a subject in the money of the last
// opening, from coefficients on contents or on area alone.
func (m *Model) expected(coef []float64, s subject) float64 {
	sum := coef[0] + coef[1]*(s.product.area-m.coding.area.centre)
	first := 2 + m.time.Len() // the time basis is 0 at the last opening
	for c := range len(coef) - first {
		sum += coef[first+c] * s.filled[1+c]
	}
	return sum
}

// weigh turns a subject and the evidence on its price into a judgement, without
// rank and comparables.
func (m *Model) weigh(s subject, byArea, byInside trend.Evidence) Judgement {
	j := blank(s.product.maker, s.product.part)
	m.setPrice(&j.Verdict, s.product, s.log)
	j.Base, j.Contributions = m.contributions(s)
	j.Fair = j.Base
	for _, c := range j.Contributions {
		j.Fair *= c.Factor
	}
	j.ByArea, j.ByInside = byArea, byInside
	j.Low, j.High = byInside.Low, byInside.High
	low, high := s.contents.Inner()
	j.Low80, j.High80 = j.Fair*math.Exp(low), j.Fair*math.Exp(high)
	sure := s.contents.HalfWidth()
	j.UsualLow, j.UsualHigh = j.Fair*math.Exp(-sure), j.Fair*math.Exp(sure)
	j.Warnings = m.notes(s)
	if math.IsNaN(j.Price) {
		return j
	}
	j.Ratio, j.MoneyAbove = j.Price/j.Fair, j.Price-j.Fair
	j.ShareBelow = 1 - s.contents.Above(math.Log(j.Ratio))
	j.Grade, j.Direction = grade(byArea, byInside), Above
	if len(m.usable) < trend.FewPoints {
		j.Grade = lessSure(j.Grade)
	}
	if j.Ratio < 1 {
		j.Direction = Below
	}
	j.Why = j.why()
	return j
}

// lessSure caps a grade at a hint, for logs with few products: which products are
// sound is then itself uncertain, and the error rates of the higher grades do not
// hold.
func lessSure(g trend.Grade) trend.Grade {
	if g == trend.Clear || g == trend.Probable {
		return trend.Hint
	}
	return g
}

// innerRange is the share of sound prices in the narrower of the two ranges
// shown.
const innerRange = 0.80

// grade combines the evidence by media area and by contents. A price inside the
// range by contents is as expected, whatever media area alone says; any other is
// at least a hint. Where both are off on the same side and the price is off by at
// least LeastShare by contents, it is clear if both grades are clear, and
// probable if both are at least probable or one is clear and the other a hint.
func grade(byArea, byInside trend.Evidence) trend.Grade {
	area, inside := byArea.Grade(), byInside.Grade()
	sameSide := byArea.Ratio() > 1 == (byInside.Ratio() > 1)
	sure := func(g trend.Grade) bool { return g == trend.Clear || g == trend.Probable }
	far := byInside.Ratio() >= trend.LeastShare || byInside.Ratio() <= 1/trend.LeastShare
	switch {
	case inside == trend.AsExpected:
		return trend.AsExpected
	case !sameSide || !far:
		return trend.Hint
	case area == trend.Clear && inside == trend.Clear:
		return trend.Clear
	case sure(area) && sure(inside),
		area == trend.Clear && inside == trend.Hint,
		area == trend.Hint && inside == trend.Clear:
		return trend.Probable
	}
	return trend.Hint
}

// contributions splits the usual price into that of an average part and a factor
// for each recorded content. The effect of a missing value, as expected from the
// recorded contents, is attributed to those; a content that is not recorded has
// the factor 1.
func (m *Model) contributions(s subject) (base float64, out []Contribution) {
	coef := s.contents.Coef
	terms := m.time.Len()
	base = coef[0]
	effect := make([]float64, len(s.filled)) // of each recorded column, the area first
	effect[0] = coef[1] * (s.product.area - m.coding.area.centre)
	mean := m.imputed.Mean
	for c := range m.coding.contents {
		b := coef[2+terms+c]
		base += b * mean[1+c]
		if !math.IsNaN(s.x[1+c]) {
			effect[1+c] += b * (s.x[1+c] - mean[1+c])
		}
	}
	for a, j := range s.open.Blank {
		if j > m.coding.contents { // an auxiliary measure, without effect on the price
			continue
		}
		for k, known := range s.open.Known {
			if s.open.Slopes != nil {
				effect[known] += coef[1+terms+j] * s.open.Slopes.At(a, k) * (s.x[known] - mean[known])
			}
		}
	}
	out = append(out, Contribution{Content: "media_area", Value: number(math.Exp(s.product.area)), Factor: math.Exp(effect[0])})
	for c, col := range m.coding.columns {
		if c >= m.coding.contents && effect[1+c] == 0 {
			continue
		}
		if len(out) == 1 || out[len(out)-1].Content != col.content {
			out = append(out, Contribution{Content: col.content, Value: m.value(col, s.product), Factor: 1})
		}
		out[len(out)-1].Factor *= math.Exp(effect[1+c])
	}
	return math.Exp(base), out
}

func number(v float64) string { return fmt.Sprintf("%.6g", v) }

// value formats a content as recorded.
func (m *Model) value(col column, p *product) string {
	if col.number >= 0 {
		switch v := math.Exp(p.numbers[col.number]); {
		case math.IsNaN(v):
		case col.content == claimed:
			return number(efficiency(v))
		default:
			return number(v)
		}
	} else if w := p.words[col.word]; w != "" {
		return w
	}
	return notRecorded
}

// notes returns the warnings that concern one product.
func (m *Model) notes(s subject) []string {
	var out []string
	if p := s.product; len(p.labels) > 0 && len(p.purchases) > 0 {
		names := make([]string, len(p.labels))
		for i, l := range p.labels {
			names[i] = l.String()
		}
		row := p.last().row
		out = append(out, fmt.Sprintf("%s are one filter under several labels: judged once, by the last price paid, which was that of %s",
			strings.Join(names, " and "), dataset.Label{Maker: p.log.Word(row, "maker"), Part: p.log.Word(row, "part")}))
	}
	if n := s.product.entryErrors; n > 0 {
		out = append(out, fmt.Sprintf("%d of its prices more than 3 times off the middle of the others: left out", n))
	}
	if s.place >= 0 && math.IsNaN(s.product.last().when) && m.time.High > m.time.Low {
		out = append(out, "no date is recorded: its price is taken for one of the middle of the log's years")
	}
	if s.place >= 0 {
		out = append(out, m.outermost(s)...)
	}
	if n := len(m.usable); n < trend.FewPoints {
		out = append(out, fmt.Sprintf("judged by %d products only, %d would make it firmer: the range is wide and no grade gets beyond a hint", n, trend.FewPoints))
	}
	blanks := map[string]bool{}
	contents := map[string]bool{} // besides the media area, which is always known
	for c, col := range m.coding.columns[:m.coding.contents] {
		contents[col.content] = true
		if math.IsNaN(s.x[1+c]) {
			blanks[col.content] = true
		}
	}
	if len(blanks)*2 > len(contents) {
		out = append(out, fmt.Sprintf("%d of %d contents are not recorded, so what is usual is known less exactly", len(blanks), len(contents)+1))
	}
	return out
}
