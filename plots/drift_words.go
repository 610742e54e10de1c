package plots

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/stats/drift"
)

// title names the makers that changed.
func (v *driftView) title() string {
	noun := wordsOf(v.measure).noun
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
	noun := wordsOf(v.measure).noun
	verb := "risen"
	size := e.PerYear
	if e.Verdict == drift.Falling {
		verb = "fallen"
	}
	if !e.ChangeFrom.IsZero() && finite(e.Step) {
		return fmt.Sprintf("%s: %s has %s by %s in one step, around %s", v.who(e), noun, verb,
			v.amount(math.Abs(e.Step)), e.ChangeFrom.Format("January 2006"))
	}
	return fmt.Sprintf("%s: %s has %s by %s a year", v.who(e), noun, verb, v.amount(math.Abs(size)))
}

func (v *driftView) who(e drift.Entry) string {
	if e.Part != "" {
		return name(e.Maker, e.Part)
	}
	return shorten(clean(e.Maker), maxName)
}

// list joins up to three names; more are counted.
func list(names []string) string {
	const most = 3
	switch n := len(names); {
	case n == 1:
		return names[0]
	case n > most:
		return fmt.Sprintf("%s and %s more", strings.Join(names[:most-1], ", "), count(n-most+1))
	default:
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
}

// amount writes a change in base units for display, two significant digits.
func (v *driftView) amount(x float64) string {
	return withUnit(significant(x*v.scale(), 2), v.symbol())
}

// change writes a signed change with the decimals its range calls for.
func (v *driftView) change(x, low, high float64, per string) string {
	k := v.scale()
	width := math.Abs(x * k)
	if finite(low, high) {
		width = (high - low) * k / 2
	}
	decimals := 0
	if width > 0 {
		decimals = max(0, min(6, -int(math.Floor(math.Log10(width)))))
	}
	s := withUnit(signed(x*k, decimals), v.symbol()) + per
	if finite(low, high) {
		s += fmt.Sprintf(" (%s to %s)", signed(low*k, decimals), signed(high*k, decimals))
	}
	return s
}

func (v *driftView) subtitle() string {
	what := "maker"
	if v.entries[0].Part != "" {
		what = "part"
	}
	return fmt.Sprintf("One panel a %s, one mark an opening, one shape a part number. Shaded: the 95\u00a0%% range of the yearly change, or of the date of a step.", what)
}

const (
	headName  = 0.95 // sizes of a panel's two head lines
	headWords = 0.82
)

// headLines are the figures under a panel's name, on so many lines.
func (v *driftView) headLines(e drift.Entry, rows int) []string {
	s := v.change(e.PerYear, e.Low, e.High, " a year")
	if !e.ChangeFrom.IsZero() && finite(e.Step) {
		s = v.change(e.Step, e.StepLow, e.StepHigh, e.ChangeFrom.Format(" in Jan 2006"))
	}
	if first, rest, found := strings.Cut(s, " ("); found && rows > 1 {
		return []string{first, "(" + rest}
	}
	return []string{s}
}

// headRows is one where all figures fit on one line of the given width,
// otherwise two.
func (v *driftView) headRows(p *page, width vg.Length) int {
	for _, e := range v.entries[:len(v.entries)-v.more] {
		if p.width(v.headLines(e, 1)[0], headWords, false) > width {
			return 2
		}
	}
	return 1
}

// head writes a panel's name, verdict and figures above it.
func (v *driftView) head(p *page, data draw.Canvas, e drift.Entry, rows int) {
	width := data.Size().X
	lines := v.headLines(e, rows)
	y := data.Max.Y + 0.4*p.unit
	for i := len(lines) - 1; i >= 0; i-- {
		fitted, size := p.fit(lines[i], headWords, false, width, 1)
		p.put(fitted[0], size, false, p.muted, vg.Point{X: data.Min.X, Y: y}, 0)
		y += headWords * 1.2 * p.unit
	}
	x := data.Min.X
	y += 0.1 * p.unit
	if changed(e) {
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

func (v *driftView) note(outside int) string {
	var parts []string
	if v.more > 0 {
		parts = append(parts, fmt.Sprintf("%s more not shown, none changed more clearly", quantity(v.more, "maker", "makers")))
	}
	if v.tooFew > 0 {
		parts = append(parts, fmt.Sprintf("too few openings to say for %s", quantity(v.tooFew, "maker", "makers")))
	}
	if outside > 0 {
		parts = append(parts, quantity(outside, "reading", "readings")+" beyond the frame")
	}
	return strings.Join(parts, " · ")
}
