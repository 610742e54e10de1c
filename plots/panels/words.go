package panels

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/plots/page"
	"pleatstat/plots/words"
	"pleatstat/stats/drift"
)

// noun names what changes; prices are followed relative to the market.
func (v *Drift) noun() string {
	if v.relative {
		return words.Of(v.measure).Noun + " against the market"
	}
	return words.Of(v.measure).Noun
}

// Title names the makers that changed, and by how much if there is only one.
func (v *Drift) Title() string {
	noun := v.noun()
	var fell, rose []string
	for _, e := range v.entries {
		switch e.Verdict {
		case drift.Falling:
			fell = append(fell, v.who(e))
		case drift.Rising:
			rose = append(rose, v.who(e))
		}
	}
	switch {
	case len(fell)+len(rose) == 1:
		return v.single(v.entries[0])
	case len(fell) > 0 && len(rose) > 0:
		return words.Sentence(fmt.Sprintf("%s is falling at %s and rising at %s", noun, words.List(fell), words.List(rose)))
	case len(fell) > 0:
		return words.Sentence(fmt.Sprintf("%s is falling at %s", noun, words.List(fell)))
	case len(rose) > 0:
		return words.Sentence(fmt.Sprintf("%s is rising at %s", noun, words.List(rose)))
	}
	if len(v.entries) == 1 {
		return fmt.Sprintf("No change of %s can be told at %s", noun, v.who(v.entries[0]))
	}
	return fmt.Sprintf("No maker's %s has changed as far as these openings can tell", noun)
}

func (v *Drift) single(e drift.Entry) string {
	noun := v.noun()
	verb := "risen"
	if e.Verdict == drift.Falling {
		verb = "fallen"
	}
	if stepped(e) {
		return fmt.Sprintf("%s: %s has %s in one step by %s, around %s", v.who(e), noun, verb,
			v.amount(e.Step, e.StepLow, e.StepHigh), e.ChangeFrom.Format("January 2006"))
	}
	if bent(e) {
		return fmt.Sprintf("%s: %s has %s by %s a year since about %s", v.who(e), noun, verb,
			v.amount(e.ChangePerYear, e.ChangePerYearLow, e.ChangePerYearHigh), e.ChangeFrom.Format("January 2006"))
	}
	return fmt.Sprintf("%s: %s has %s by %s a year", v.who(e), noun, verb, v.amount(e.PerYear, e.Low, e.High))
}

func (v *Drift) who(e drift.Entry) string {
	if e.Part != "" {
		return words.Name(e.Maker, e.Part)
	}
	return words.Shorten(words.Clean(e.Maker), words.MaxName)
}

// decimals returns the number of decimals to which a change x with the range low to
// high is written: half the width of the range gives the first significant digit,
// or x itself if there is no range.
func (v *Drift) decimals(x, low, high float64) int {
	width := math.Abs(x)
	if page.Finite(low, high) && high > low {
		width = (high - low) / 2
	}
	if width *= v.scale.K; width > 0 {
		const most = 6
		return max(0, min(most, -int(math.Floor(math.Log10(width)))))
	}
	return 0
}

// amount writes the size of a change without its sign, with its unit.
func (v *Drift) amount(x, low, high float64) string {
	return words.WithUnit(strconv.FormatFloat(math.Abs(x*v.scale.K), 'f', v.decimals(x, low, high), 64), v.scale.Symbol)
}

// change writes a signed change with its range, all with the given decimals.
func (v *Drift) change(x, low, high float64, per string, decimals int) string {
	k := v.scale.K
	s := words.WithUnit(words.Signed(x*k, decimals), v.scale.Symbol) + per
	if l, h := words.Signed(low*k, decimals), words.Signed(high*k, decimals); page.Finite(low, high) && l != h {
		s += fmt.Sprintf(" (%s to %s)", l, h)
	}
	return s
}

// yearlyDecimals returns the decimals of the panel with the widest range, used for
// the yearly changes of all panels.
func (v *Drift) yearlyDecimals(shown []drift.Entry) int {
	widest := shown[0]
	for _, e := range shown {
		if page.Finite(e.Low, e.High) && !(e.High-e.Low <= widest.High-widest.Low) {
			widest = e
		}
	}
	return v.decimals(widest.PerYear, widest.Low, widest.High)
}

// Subtitle explains panels, marks and shading.
func (v *Drift) Subtitle() string {
	what := "maker"
	if v.entries[0].Part != "" {
		what = "part"
	}
	s := fmt.Sprintf("One panel a %s, one mark an opening", what)
	if slices.ContainsFunc(v.entries, drift.Entry.DatedByCode) {
		s += ", at the date of its date code where that is read"
	}
	if v.readings {
		s += ", one shape a part number"
	}
	s += "."
	dates := slices.ContainsFunc(v.entries, dated)
	switch {
	case !v.readings && dates:
		s += " Shaded: the 95\u00a0% range of the yearly change, and of the date of a change."
	case !v.readings:
		s += " Shaded: the 95\u00a0% range of the yearly change."
	case dates:
		s += " Shaded: when the change may have come."
	}
	return s
}

const (
	headName  = 0.95 // text sizes of a panel's head: maker and verdict; figures
	headWords = 0.82
)

// heads is the format of the panels' heads: the number of rows of figures and the
// decimals of yearly changes.
type heads struct{ rows, decimals int }

// height returns the height of a head in units.
func (h heads) height() float64 { return headName*1.35 + float64(h.rows)*headWords*1.2 + 0.2 }

// headsFor returns the format of heads that fits panels of the given width.
func (v *Drift) headsFor(p *page.Page, shown []drift.Entry, width vg.Length) heads {
	h := heads{rows: 1, decimals: v.yearlyDecimals(shown)}
	for _, e := range shown {
		if p.Width(v.headLines(e, h)[0], headWords, false) > width {
			h.rows = 2
			break
		}
	}
	return h
}

// headLines returns the figures of a panel's head, in one or two lines.
func (v *Drift) headLines(e drift.Entry, h heads) []string {
	s := v.change(e.PerYear, e.Low, e.High, " a year", h.decimals)
	if stepped(e) {
		s = v.change(e.Step, e.StepLow, e.StepHigh, e.ChangeFrom.Format(", Jan 2006"), v.decimals(e.Step, e.StepLow, e.StepHigh))
	} else if bent(e) {
		s = v.change(e.ChangePerYear, e.ChangePerYearLow, e.ChangePerYearHigh, e.ChangeFrom.Format(" a year since Jan 2006"), h.decimals)
	} else if dated(e) {
		s = v.change(e.PerYear, e.Low, e.High, e.ChangeFrom.Format(" a year, from Jan 2006"), h.decimals)
	}
	if first, rest, found := strings.Cut(s, " ("); found && h.rows > 1 {
		return []string{first, "(" + rest}
	}
	return []string{s}
}

// head writes maker or part, verdict and figures above a panel.
func (v *Drift) head(p *page.Page, data draw.Canvas, e drift.Entry, h heads) {
	width := data.Size().X
	lines := v.headLines(e, h)
	y := data.Max.Y + 0.4*p.Unit
	for i := len(lines) - 1; i >= 0; i-- {
		p.PutFit(lines[i], headWords, false, p.Muted, vg.Point{X: data.Min.X, Y: y}, width)
		y += headWords * 1.2 * p.Unit
	}
	x := data.Min.X
	y += 0.1 * p.Unit
	if e.Moved() {
		s := page.TriangleUp
		if e.Verdict == drift.Falling {
			s = page.TriangleDown
		}
		p.Mark(p.Canvas, s, vg.Point{X: x + 0.33*p.Unit, Y: y + 0.32*p.Unit}, 0.33*p.Unit, p.Above)
		x += 0.95 * p.Unit
	}
	verdict := fmt.Sprintf("%s: %s", v.who(e), e.Verdict)
	p.PutFit(verdict, headName, true, p.Ink, vg.Point{X: x, Y: y}, data.Max.X-x)
}

func (v *Drift) hint(e drift.Entry, o drift.Observation) string {
	read := words.ScaleOf(v.measure, v.units)
	s := fmt.Sprintf("%s: %s", words.Name(e.Maker, o.Part), words.WithUnit(words.Significant(o.Value*read.K, 4), read.Symbol))
	if !o.When.IsZero() {
		s += ", " + o.When.Format("January 2006")
	}
	return s
}

func (v *Drift) note(outside, more int) string {
	var parts []string
	if more > 0 {
		parts = append(parts, fmt.Sprintf("%s more not shown, none changed more clearly", words.Quantity(more, "maker", "makers")))
	}
	if v.partsLeft > 0 {
		parts = append(parts, words.Quantity(v.partsLeft, "part", "parts")+" of these makers not drawn")
	}
	if v.tooFew > 0 {
		parts = append(parts, fmt.Sprintf("too few openings to say for %s", words.Quantity(v.tooFew, "maker", "makers")))
	}
	if outside > 0 {
		parts = append(parts, words.Quantity(outside, "reading", "readings")+" beyond the frame")
	}
	return words.Joined(" · ", parts...)
}
