package price

import (
	"math"
	"slices"
)

// Disagreement is where the verdict by contents and the one by media area alone
// fall apart.
type Disagreement struct {
	Contents, Area int     // 1 = above the 95 % range, 0 = inside it, -1 = below
	Ratio          float64 // fair price by contents over that by area alone
	// ByWidth says that the end of the range the price lies beyond differs more
	// by the widths of the two ranges than by the two fair prices.
	ByWidth bool
	// Because are the contents that move the fair price away from the area's,
	// the strongest first; none where ByWidth.
	Because []Contribution
}

// because is the number of contents named, and worthNaming the least share of
// the price one must move to be named.
const (
	because     = 3
	worthNaming = 0.02
)

// Disagreement reports whether contents and area alone put the price on
// different sides of their 95 % ranges, and what explains it. False for a
// product without a verdict.
func (j Judgement) Disagreement() (Disagreement, bool) {
	if j.Verdict == TooFew || math.IsNaN(j.Paid) {
		return Disagreement{}, false
	}
	d := Disagreement{
		Contents: Side(j.Paid, j.Low95, j.High95),
		Area:     Side(j.Paid, j.AreaOnly.Low95, j.AreaOnly.High95),
		Ratio:    j.Fair / j.AreaOnly.Fair,
	}
	if d.Contents == d.Area {
		return Disagreement{}, false
	}
	d.ByWidth = j.byWidth(d)
	if d.ByWidth {
		return d, true
	}
	up := d.Ratio > 1
	for _, c := range j.Contributions {
		size := math.Abs(math.Log(c.Factor))
		if c.Content != "media_area" && c.Content != "opened" && c.Factor > 1 == up && size >= worthNaming {
			d.Because = append(d.Because, c)
		}
	}
	slices.SortStableFunc(d.Because, func(a, b Contribution) int {
		switch x, y := math.Abs(math.Log(a.Factor)), math.Abs(math.Log(b.Factor)); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	d.Because = d.Because[:min(because, len(d.Because))]
	return d, true
}

// byWidth compares the two things that set the ends of two ranges apart.
func (j Judgement) byWidth(d Disagreement) bool {
	moved := math.Log(d.Ratio)
	wider := math.Log(j.High95/j.Fair) - math.Log(j.AreaOnly.High95/j.AreaOnly.Fair)
	if d.Contents != 1 && d.Area != 1 { // the lower ends
		wider = math.Log(j.Low95/j.Fair) - math.Log(j.AreaOnly.Low95/j.AreaOnly.Fair)
	}
	if moved+wider < 0 {
		moved, wider = -moved, -wider
	}
	return moved < wider
}

// Side says where a value lies to a range: 1 = above, 0 = inside, -1 = below.
func Side(v, low, high float64) int {
	switch {
	case v > high:
		return 1
	case v < low:
		return -1
	}
	return 0
}
