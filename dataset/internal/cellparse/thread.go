package cellparse

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Thread is a mounting thread: metric, by diameter and pitch (ISO 261), or
// inch, by diameter and turns per inch (ASME B1.1). The series (UNF, UN)
// follows from the two and is not stored. Tapered and pipe threads are not
// covered.
type Thread struct {
	Metric   bool
	Diameter float64 // mm, or in
	Pitch    float64 // mm; 0 for an inch thread
	PerInch  float64 // turns per inch; 0 for a metric thread
}

var (
	metricThread = regexp.MustCompile(`^M\s*(\d+(?:[.,]\d+)?)\s*(?:X|×|\*|-|–|/)\s*(\d+(?:[.,]\d+)?)\s*(?:MM)?(?:\s*-?\s*\d[GH]\d?[GH]?)?$`)
	inchThread   = regexp.MustCompile(`^(\d+[\s-]+\d+/\d+|\d+/\d+|\d*[.,]\d+|\d+|\d*\s*[¼½¾⅛⅜⅝⅞])\s*(?:"|″|”|''|INCH|IN)?\s*(?:-|–|X|×|\*)\s*(\d+(?:[.,]\d+)?)\s*(?:T\.?P\.?I\.?)?\s*-?\s*(?:UN|UNF|UNC|UNEF|UNS)?(?:\s*-?\s*[123][AB])?$`)
)

// Range of the threads of spin-on filters; a text outside it is something else.
// Common practice, no source.
const (
	leastThread, mostThread   = 8.0, 100.0 // mm
	leastPitch, mostPitch     = 0.5, 4.0   // mm
	leastPerInch, mostPerInch = 8.0, 32.0
)

// ParseThread parses M20x1.5, M20 × 1.5, 3/4-16, 3/4-16 UNF, 3/4"-16, 1 1/2-16.
// It is false for anything else, including a metric thread without its pitch.
func ParseThread(text string) (Thread, bool) {
	s := strings.ToUpper(strings.Join(strings.Fields(text), " "))
	if m := metricThread.FindStringSubmatch(s); m != nil {
		t := Thread{Metric: true, Diameter: decimal(m[1]), Pitch: decimal(m[2])}
		return t, t.Diameter >= leastThread && t.Diameter <= mostThread && t.Pitch >= leastPitch && t.Pitch <= mostPitch
	}
	m := inchThread.FindStringSubmatch(s)
	if m == nil {
		return Thread{}, false
	}
	t := Thread{Diameter: inches(m[1]), PerInch: decimal(m[2])}
	mm := t.Diameter * 25.4
	return t, mm >= leastThread && mm <= mostThread && t.PerInch >= leastPerInch && t.PerInch <= mostPerInch
}

// decimal parses a number with a decimal point or comma; NaN if it is not one.
func decimal(s string) float64 {
	v, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

// inches parses 3/4, 1 1/2, 1-1/2, 0.75, ¾.
func inches(s string) float64 {
	if v, err := fraction(s); err == nil {
		return v
	}
	return decimal(s)
}

// String returns the canonical spelling of a thread: M20x1.5, 3/4-16, 1 1/2-16.
func (t Thread) String() string {
	if t.Metric {
		return fmt.Sprintf("M%gx%g", t.Diameter, t.Pitch)
	}
	return fraction16(t.Diameter) + "-" + strconv.FormatFloat(t.PerInch, 'g', -1, 64)
}

// fraction16 formats inches as a whole number and a reduced fraction of
// sixteenths; other values stay decimal.
func fraction16(v float64) string {
	const parts = 16
	n := math.Round(v * parts)
	if math.Abs(n/parts-v) > 1e-9 {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	whole, over, under := int(n)/parts, int(n)%parts, parts
	for over > 0 && over%2 == 0 {
		over, under = over/2, under/2
	}
	switch {
	case over == 0:
		return strconv.Itoa(whole)
	case whole == 0:
		return fmt.Sprintf("%d/%d", over, under)
	}
	return fmt.Sprintf("%d %d/%d", whole, over, under)
}

// SameThread reports whether two texts name the same thread: by diameter and
// pitch if both can be parsed, by their letters without regard to case and
// spaces if neither can. A blank text equals no thread.
func SameThread(a, b string) bool {
	x, okX := ParseThread(a)
	y, okY := ParseThread(b)
	if okX && okY {
		return x.Metric == y.Metric && math.Abs(x.Diameter-y.Diameter) < 1e-6 && math.Abs(x.Pitch-y.Pitch) < 1e-6 && math.Abs(x.PerInch-y.PerInch) < 1e-6
	}
	fold := func(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), "")) }
	return okX == okY && fold(a) != "" && fold(a) == fold(b)
}
