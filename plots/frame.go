package plots

import (
	"strings"

	"gonum.org/v1/plot/vg"

	"pleatstat/plots/page"
	"pleatstat/plots/words"
)

// Sizes in units of the page (page.Page.Unit).
const (
	titleSize  = 1.62 // text height of the title
	footerSize = 0.82
	marginSize = 1.05
	lineHeight = 1.28 // of wrapped text, in text heights
	titleLines = 3    // most lines of a title or subtitle; longer ones are set smaller
)

// title returns the title of the options, or else the chart's own.
func (c *Chart) title(o Options) string {
	if o.Title != "" {
		return words.Clean(o.Title)
	}
	return c.Title
}

// draw draws what all charts share (title, subtitle, legend, footer) and leaves
// the area between to the chart's body.
func (c *Chart) draw(p *page.Page, o Options) {
	margin := marginSize * p.Unit
	left, right, top := p.Min.X+margin, p.Max.X-margin, p.Max.Y-0.75*margin

	lines, size := p.Fit(c.title(o), titleSize, true, right-left, titleLines)
	for _, l := range lines {
		top -= vg.Length(size) * p.Unit * 1.14
		p.Put(l, size, true, p.Ink, vg.Point{X: left, Y: top + 0.22*vg.Length(size)*p.Unit}, 0)
	}
	if c.Subtitle != "" {
		top -= 0.25 * p.Unit
		lines, size = p.Fit(c.Subtitle, 1, false, right-left, titleLines)
		for _, l := range lines {
			top -= vg.Length(size*lineHeight) * p.Unit
			p.Put(l, size, false, p.Muted, vg.Point{X: left, Y: top + 0.3*p.Unit}, 0)
		}
	}
	p.Highlight, p.ByMaker = o.Highlight, o.ByMaker
	top = p.Key(c.legend, left, right, top)
	if o.ByMaker {
		top = p.Key(c.makers.legend(), left, right, top)
	}

	bottom := p.Min.Y + 0.6*margin
	if o.Foot != "" {
		p.PutFit(words.Clean(o.Foot), footerSize, false, p.Muted, vg.Point{X: left, Y: bottom}, right-left)
		bottom += footerSize * lineHeight * p.Unit
	}
	area := vg.Rectangle{
		Min: vg.Point{X: left, Y: bottom + 1.5*footerSize*p.Unit},
		Max: vg.Point{X: right, Y: top - 0.35*p.Unit},
	}
	note := c.body(p, area)
	c.footer(p, note, left, right, bottom)
}

// footer writes the source of the data at the left and their number and years at
// the right; on a narrow page the left side is shortened.
func (c *Chart) footer(p *page.Page, note string, left, right, y vg.Length) {
	s := c.Source
	openings, where := "", ""
	if s.Openings > 0 {
		openings = words.Figures(s.Openings, "opening", "openings")
	}
	if len(s.Where) > 0 {
		where = words.Shorten("only "+words.Clean(strings.Join(s.Where, " and ")), 40)
	}
	have := words.Joined(", ", c.counted, openings, words.Years(s.From, s.To))
	p.Put(have, footerSize, false, p.Muted, vg.Point{X: right, Y: y}, 1)
	from := words.Joined(" · ", words.Shorten(words.Clean(baseName(s.File)), 40), where, note)
	room := right - left - p.Width(have, footerSize, false) - 1.5*p.Unit
	p.Put(p.Cut(from, footerSize, false, room, 8), footerSize, false, p.Muted, vg.Point{X: left, Y: y}, 0)
}

// baseName returns the last element of a path, whose separator may be / or \.
func baseName(path string) string {
	if i := strings.LastIndexAny(path, `/\`); i >= 0 {
		return path[i+1:]
	}
	return path
}
