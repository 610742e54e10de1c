package plots

import (
	"fmt"
	"math"

	"pleatstat/plots/page"
	"pleatstat/plots/words"
	"pleatstat/stats/roundup"
)

// MakersPooled draws the partially pooled makers of a roundup: each maker's own
// mean and the pooled estimate, which is shrunk towards the mean of all makers,
// more so the less data the maker has, with its 95 % range.
//
// It returns ErrNothingToDraw if the table has too few makers to pool.
func MakersPooled(t roundup.MakerTable, year int, s Source) (*Chart, error) {
	if t.TooFew || len(t.Rows) == 0 {
		return nil, fmt.Errorf("makers by %s: %w", t.ID, ErrNothingToDraw)
	}
	s = s.withDefaults()
	v := &makersView{t: t, units: s.Units, scale: words.ScaleOf(t.Measure, s.Units)}
	if t.Relative {
		v.scale = words.Percentages()
	}
	s.Openings = 0
	for _, r := range t.Rows {
		s.Openings += r.Openings
	}
	s.To = year
	out := &estimates{hasZero: true, bothEnds: true}
	out.x = page.Axis{K: v.scale.K, Title: v.scale.Title(words.Of(t.Measure).Noun + " against others of the same " + v.against())}
	for _, r := range t.Rows {
		e := estimate{label: words.Name(r.Maker, ""), value: r.Pooled, low: r.Low, high: r.High, from: r.Own, look: plainLook}
		switch {
		case r.Side > 0:
			e.look, e.bold = upLook, true
		case r.Side < 0:
			e.look, e.bold = downLook, true
		}
		e.detail = fmt.Sprintf("%s · %s", v.say(r.Pooled), words.Figures(r.Products, "part", "parts"))
		e.hint = fmt.Sprintf("%s: own mean %s, pooled %s, 95\u00a0%% range %s to %s; %s, %s, its own share %.0f\u00a0%%", e.label, v.say(r.Own),
			v.say(r.Pooled), v.say(r.Low), v.say(r.High), words.Figures(r.Products, "part", "parts"), words.Figures(r.Openings, "opening", "openings"), 100*r.Weight)
		out.rows = append(out.rows, e)
	}
	return &Chart{Title: v.title(), Subtitle: v.subtitle(), Source: s,
		counted: words.Figures(t.Products, "product", "products"),
		legend: []page.LegendItem{lookItem("own mean", openLook), lookItem("moved towards the middle", plainLook),
			rangeItem("95\u00a0% range")},
		body: out.draw}, nil
}

type makersView struct {
	t     roundup.MakerTable
	units words.Units
	scale words.Scale
}

// against names the measure for which the makers are compared at equal values.
func (v *makersView) against() string {
	if v.t.Against == "can_surface" {
		return "size"
	}
	return words.Of(v.t.Against).Noun
}

func (v *makersView) say(x float64) string {
	decimals := 0
	if !v.t.Relative {
		decimals = v.units.Of(v.t.Measure).Decimals + 1
	}
	return words.WithUnit(words.Signed(x*v.scale.K, decimals), v.scale.Symbol)
}

// title names the makers whose pooled estimate is clearly above or below the line,
// or says that there are none.
func (v *makersView) title() string {
	up, down, none := "dearer", "cheaper", "No maker's filters are clearly dearer or cheaper for their %s"
	if !v.t.Relative {
		up, down, none = "thicker", "thinner", "No maker's cans are clearly thicker or thinner for their %s"
	}
	var off []string
	for _, r := range v.t.Rows {
		switch {
		case r.Side > 0:
			off = append(off, words.Name(r.Maker, "")+" "+up)
		case r.Side < 0:
			off = append(off, words.Name(r.Maker, "")+" "+down)
		}
	}
	against := v.against()
	switch len(off) {
	case 0:
		return fmt.Sprintf(none, against)
	case 1:
		return fmt.Sprintf("One maker stands apart for its %s: %s", against, off[0])
	}
	return fmt.Sprintf("%s makers stand apart for their %s: %s", words.Sentence(words.Count(len(off))), against, words.List(off))
}

// shareRange writes a range of fractions in per cent.
func shareRange(least, most float64) string {
	low, high := fmt.Sprintf("%.0f", 100*least), fmt.Sprintf("%.0f", 100*most)
	if low == high {
		return low + words.NBSP + "%"
	}
	return low + " to " + high + words.NBSP + "%"
}

func (v *makersView) subtitle() string {
	least := math.Inf(1)
	most := 0.0
	for _, r := range v.t.Rows {
		least, most = math.Min(least, r.Weight), math.Max(most, r.Weight)
	}
	return fmt.Sprintf("Zero: the line through most openings of that %s. Makers known by few parts move towards the middle (%s): of each value %s is the maker's own.",
		v.against(), v.say(v.t.Mean), shareRange(least, most))
}
