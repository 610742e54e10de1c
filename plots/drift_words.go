package plots

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/stats/drift"
)

// noun is what changes; prices are followed beyond what the market did.
func (v *driftView) noun() string {
	if v.relative {
		return wordsOf(v.measure).noun + " against the market"
	}
	return wordsOf(v.measure).noun
}

// title names the makers that changed.
func (v *driftView) title() string {
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
		return sentence(fmt.Sprintf("%s is falling at %s and rising at %s", noun, list(fell), list(rose)))
	case len(fell) > 0:
		return sentence(fmt.Sprintf("%s is falling at %s", noun, list(fell)))
	case len(rose) > 0:
		return sentence(fmt.Sprintf("%s is rising at %s", noun, list(rose)))
	}
	if len(v.entries) == 1 {
		return fmt.Sprintf("No change of %s can be told at %s", noun, v.who(v.entries[0]))
	}
	return fmt.Sprintf("No maker's %s has changed as far as these openings can tell", noun)
}

func (v *driftView) single(e drift.Entry) string {
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

func (v *driftView) who(e drift.Entry) string {
	if e.Part != "" {
		return name(e.Maker, e.Part)
	}
	return shorten(clean(e.Maker), maxName)
}

// decimals are the digits behind the point that a change within the range
// low to high is worth; x stands in where there is no range.
func (v *driftView) decimals(x, low, high float64) int {
	width := math.Abs(x)
	if finite(low, high) && high > low {
		width = (high - low) / 2
	}
	if width *= v.scale(); width > 0 {
		const most = 6
		return max(0, min(most, -int(math.Floor(math.Log10(width)))))
	}
	return 0
}

// amount writes the size of a change for display.
func (v *driftView) amount(x, low, high float64) string {
	return withUnit(strconv.FormatFloat(math.Abs(x*v.scale()), 'f', v.decimals(x, low, high), 64), v.symbol())
}

// change writes a signed change with its range, all with the given decimals.
func (v *driftView) change(x, low, high float64, per string, decimals int) string {
	k := v.scale()
	s := withUnit(signed(x*k, decimals), v.symbol()) + per
	if l, h := signed(low*k, decimals), signed(high*k, decimals); finite(low, high) && l != h {
		s += fmt.Sprintf(" (%s to %s)", l, h)
	}
	return s
}

// yearlyDecimals are those of the panel with the widest range, so that all
// yearly changes read alike.
func (v *driftView) yearlyDecimals(shown []drift.Entry) int {
	widest := shown[0]
	for _, e := range shown {
		if finite(e.Low, e.High) && !(e.High-e.Low <= widest.High-widest.Low) {
			widest = e
		}
	}
	return v.decimals(widest.PerYear, widest.Low, widest.High)
}

func (v *driftView) subtitle() string {
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
	headName  = 0.95 // sizes of a panel's two head lines
	headWords = 0.82
)

// heads says how the panels' heads are written: the figures on so many rows,
// yearly changes with so many decimals.
type heads struct{ rows, decimals int }

// height of a head in units.
func (h heads) height() float64 { return headName*1.35 + float64(h.rows)*headWords*1.2 + 0.2 }

// headsFor fits the heads to panels of the given width.
func (v *driftView) headsFor(p *page, shown []drift.Entry, width vg.Length) heads {
	h := heads{rows: 1, decimals: v.yearlyDecimals(shown)}
	for _, e := range shown {
		if p.width(v.headLines(e, h)[0], headWords, false) > width {
			h.rows = 2
			break
		}
	}
	return h
}

// headLines are the figures under a panel's name.
func (v *driftView) headLines(e drift.Entry, h heads) []string {
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

// head writes a panel's name, verdict and figures above it.
func (v *driftView) head(p *page, data draw.Canvas, e drift.Entry, h heads) {
	width := data.Size().X
	lines := v.headLines(e, h)
	y := data.Max.Y + 0.4*p.unit
	for i := len(lines) - 1; i >= 0; i-- {
		fitted, size := p.fit(lines[i], headWords, false, width, 1)
		p.put(fitted[0], size, false, p.muted, vg.Point{X: data.Min.X, Y: y}, 0)
		y += headWords * 1.2 * p.unit
	}
	x := data.Min.X
	y += 0.1 * p.unit
	if e.Moved() {
		s := triangleUp
		if e.Verdict == drift.Falling {
			s = triangleDown
		}
		p.mark(p.Canvas, s, vg.Point{X: x + 0.33*p.unit, Y: y + 0.32*p.unit}, 0.33*p.unit, p.above)
		x += 0.95 * p.unit
	}
	words := fmt.Sprintf("%s: %s", v.who(e), e.Verdict)
	fitted, size := p.fit(words, headName, true, data.Max.X-x, 1)
	p.put(fitted[0], size, true, p.ink, vg.Point{X: x, Y: y}, 0)
}

func (v *driftView) hint(e drift.Entry, o drift.Observation) string {
	k, symbol := perBase(v.measure, v.units), clean(v.units.Of(v.measure).Symbol)
	s := fmt.Sprintf("%s: %s", name(e.Maker, o.Part), withUnit(significant(o.Value*k, 4), symbol))
	if !o.When.IsZero() {
		s += ", " + o.When.Format("January 2006")
	}
	return s
}

func (v *driftView) note(outside, more int) string {
	var parts []string
	if more > 0 {
		parts = append(parts, fmt.Sprintf("%s more not shown, none changed more clearly", quantity(more, "maker", "makers")))
	}
	if v.partsLeft > 0 {
		parts = append(parts, quantity(v.partsLeft, "part", "parts")+" of these makers not drawn")
	}
	if v.tooFew > 0 {
		parts = append(parts, fmt.Sprintf("too few openings to say for %s", quantity(v.tooFew, "maker", "makers")))
	}
	if outside > 0 {
		parts = append(parts, quantity(outside, "reading", "readings")+" beyond the frame")
	}
	return joined(parts...)
}
