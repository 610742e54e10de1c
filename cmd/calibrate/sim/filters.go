package sim

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"time"

	"pleatstat/dataset"
)

// FilterOptions are the options of NewFilterLog. All measures of an opening are
// computed from the values of the part, so that they change together.
type FilterOptions struct {
	Makers, Parts, Openings int     // Parts is the number for each maker, Openings that of the whole log
	Noise                   Noise   // Normal, LongTailed or Slips, for specimens and readings alike
	Blanks                  float64 // share of blank cells
	Changes                 []Change
	Largest                 bool // adds the part that method Largest returns, opened once, in the last year
}

// Change is a change of all parts of one maker.
type Change struct {
	Maker   int
	Measure string  // can_gauge or pleats
	PerYear float64 // change a year from the first day on, mm or pleats
	Step    float64 // change at once after StepAt years, mm or pleats
	StepAt  float64
}

// filterDays is the number of days of every log.
const filterDays = 365 * Years

// Filter is one part with its mean values.
type Filter struct {
	Maker, Part                  string
	maker                        int
	od, height, gauge            float64 // mm
	depth, width                 float64 // mm
	pleats                       float64
	grammage, base, frame, other float64 // g/m², g
	level                        float64 // log of its price relative to the usual one for its area
}

// FilterLog is a simulated log with the true values of its parts before any change.
type FilterLog struct {
	*dataset.Log
	Filters []Filter
}

func newFilter(rng *rand.Rand, m, k int) Filter {
	f := Filter{Maker: MakerName(m), Part: fmt.Sprintf("%c%d-%02d", MakerName(m)[0], m+1, k+1), maker: m}
	f.od, f.height = cutNormal(rng, 76, 3), cutNormal(rng, 80, 6)
	f.width = cutNormal(rng, f.height-34, 2)
	f.gauge = cutNormal(rng, 0.47, 0.05)
	f.pleats = math.Round(cutNormal(rng, 62, 5))
	f.depth = (f.od/2 - 4) * cutNormal(rng, 0.32, 0.04)
	f.grammage = cutNormal(rng, 195, 12)
	f.base, f.frame, f.other = cutNormal(rng, 48, 5), cutNormal(rng, 22, 4), cutNormal(rng, 16, 2)
	f.level = cutNormal(rng, 0, 0.13)
	return f
}

// surface returns the surface of the can, in cm².
func (f Filter) surface() float64 { return (math.Pi*f.od*f.height + math.Pi/4*f.od*f.od) / 100 }

// Changed returns the filter as made t years after the first day.
func (f Filter) Changed(changes []Change, t float64) Filter {
	for _, c := range changes {
		if c.Maker != f.maker {
			continue
		}
		d := c.PerYear * t
		if t >= c.StepAt {
			d += c.Step
		}
		if c.Measure == "can_gauge" {
			f.gauge += d
		} else {
			f.pleats += math.Round(d)
		}
	}
	return f
}

// filterHeader is the header of the log.
var filterHeader = []string{"opened", "maker", "part", "price", "can_od_mm", "can_height_mm", "total_mass_g", "base_plate_mass_g",
	"element_mass_g", "can_mass_g", "media_mass_g", "can_gauge_mm", "pleats", "element_width_mm", "media_length_mm"}

// Truth returns the true mean of a measure of the filter in mm, cm² or g, or its
// price t years after the first day (price_per_area: for 100 cm²); NaN for other
// measures.
func (f Filter) Truth(measure string, t float64) float64 {
	length := 2 * f.pleats * f.depth
	area := length * f.width / 100
	can := f.surface() * f.gauge / 10 * steelDensity
	switch measure {
	case "can_gauge":
		return f.gauge
	case "pleat_depth":
		return f.depth
	case "media_area":
		return area
	case "total_mass":
		return can + f.base + f.frame + f.other + area*f.grammage/1e4
	case "price":
		return 8.2 * math.Pow(area/560, 0.88) * math.Exp(f.level+0.04*t)
	case "price_per_area":
		return 100 * f.Truth("price", t) / area
	}
	return math.NaN()
}

// NewFilterLog simulates one log.
func NewFilterLog(o FilterOptions, rng *rand.Rand) (*FilterLog, error) {
	var s FilterLog
	for m := range o.Makers {
		for k := range o.Parts {
			s.Filters = append(s.Filters, newFilter(rng, m, k))
		}
	}
	lines := [][]string{filterHeader}
	for i := range o.Openings {
		at := i % len(s.Filters) // every part twice, then parts at random
		if i >= 2*len(s.Filters) {
			at = rng.IntN(len(s.Filters))
		}
		day := rng.IntN(filterDays)
		lines = append(lines, o.opening(rng, s.Filters[at].Changed(o.Changes, float64(day)/365.25), day))
	}
	if o.Largest {
		lines = append(lines, o.opening(rng, s.Largest(), filterDays-40))
	}
	var text bytes.Buffer
	csv.NewWriter(&text).WriteAll(lines) // cannot fail: writes to memory
	var err error
	s.Log, err = dataset.Read(&text, "workshop.csv", dataset.Options{})
	return &s, err
}

// LargestPart is the part number of Largest.
const LargestPart = "S-largest"

// Largest returns a part whose can gauge and media area are a tenth above the
// largest of all parts. Its other dimensions and masses are the largest of all
// parts, so that its total mass is the largest too.
func (s *FilterLog) Largest() Filter {
	const more = 1.1
	f := s.Filters[0]
	f.Part = LargestPart
	area := 0.0
	for _, other := range s.Filters {
		f.gauge, f.od, f.height = max(f.gauge, other.gauge), max(f.od, other.od), max(f.height, other.height)
		f.base, f.frame, f.other = max(f.base, other.base), max(f.frame, other.frame), max(f.other, other.other)
		area = max(area, other.Truth("media_area", 0))
	}
	f.gauge *= more
	f.depth *= more * area / f.Truth("media_area", 0)
	return f
}

// Find returns the filter of a maker and part, which must be in the log.
func (s *FilterLog) Find(maker, part string) Filter {
	return s.Filters[slices.IndexFunc(s.Filters, func(f Filter) bool { return f.Maker == maker && f.Part == part })]
}

// opening returns one row of the log: an opening of f on the given day.
func (o FilterOptions) opening(rng *rand.Rand, f Filter, day int) []string {
	t := float64(day) / 365.25
	e := func() float64 { return o.Noise.deviate(rng) }
	// The specimen differs from the mean of its part, and each reading from the
	// specimen.
	f.gauge += 0.004 * e()
	f.depth *= 1 + 0.006*e()
	f.width += 0.2 * e()
	f.grammage *= 1 + 0.012*e()
	f.base *= 1 + 0.008*e()
	f.frame *= 1 + 0.015*e()
	f.other *= 1 + 0.015*e()
	f.od += 0.08 * e()
	f.height += 0.12 * e()
	length := 2 * f.pleats * f.depth
	if rng.Float64() < 0.06 { // one pleat more or fewer
		f.pleats += float64(2*rng.IntN(2) - 1)
	}
	media := length * f.width / 100 * f.grammage / 1e4
	can := f.surface() * f.gauge / 10 * steelDensity
	price := f.Truth("price", t) * math.Exp(0.02*e())
	cell := func(v, sd float64, decimals int, slip float64) string {
		v += sd * e()
		if o.Noise == Slips && rng.Float64() < 0.02 {
			v += slip * (0.3 + 0.7*rng.Float64()) * float64(2*rng.IntN(2)-1)
		}
		if rng.Float64() < o.Blanks {
			return ""
		}
		return strconv.FormatFloat(v, 'f', decimals, 64)
	}
	gauge := cell(f.gauge, 0.0045, 2, 0.15)
	if gauge != "" && rng.Float64() < 0.25 { // read again
		gauge += "; " + strconv.FormatFloat(f.gauge+0.0045*e(), 'f', 2, 64)
	}
	return []string{firstReading.AddDate(0, 0, day).Format(time.DateOnly), f.Maker, f.Part, cell(price, 0, 2, 3),
		cell(f.od, 0.05, 1, 8), cell(f.height, 0.05, 1, 8), cell(can+f.base+f.frame+f.other+media, 0.05, 1, 60), cell(f.base, 0.05, 1, 12),
		cell(f.frame+media, 0.05, 1, 10), cell(can, 0.05, 1, 25), cell(media, 0.05, 1, 4), gauge, cell(f.pleats, 0, 0, 8),
		cell(f.width, 0.1, 1, 6), cell(length, 1.5, 0, 150)}
}
