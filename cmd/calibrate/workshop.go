package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/dataset"
	"pleatstat/stats/check"
)

// workshop is a log of whole filters to simulate: every measure of one opening
// follows from the part's own values, so that they move together.
type workshop struct {
	Makers, Parts, Openings int // parts of each maker, openings of all
	Noise                   string
	Blanks                  float64 // share of the cells not filled in
	Changes                 []planted
	Largest                 bool // one part more, opened in the last year only and beyond every other
}

// The kinds of scatter, the same for specimens and readings.
const (
	noiseNormal = "normal"
	noiseHeavy  = "t(5)"       // scaled to the same standard deviation
	noiseSlips  = "2 % slips"  // normal, and one cell in fifty is a slip of the pen
	noiseNone   = "no scatter" // to look at what a log holds
)

// planted is a change of one maker's parts.
type planted struct {
	Maker   int
	Measure string  // can_gauge or pleats
	PerYear float64 // from the first day on
	Step    float64 // at StepAt years
	StepAt  float64
}

const (
	workshopYears = 6
	workshopDays  = 2190
)

// workshopDay is the first day of every log.
var workshopDay = time.Date(2019, time.January, 1, 0, 0, 0, 0, time.UTC)

// part of a workshop, as it leaves the works.
type filter struct {
	Maker, Part                  string
	maker                        int
	od, height, gauge            float64 // mm
	depth, width                 float64 // mm
	pleats                       float64
	grammage, base, frame, other float64 // g/m², g
	level                        float64 // log of its own price level
	opened                       int
}

// simulated is a log and what is true of it.
type simulated struct {
	*dataset.Log
	Filters []filter
	o       workshop
}

// maker's name, invented; further ones are numbered.
func workshopMaker(m int) string {
	names := [...]string{"Skerrow", "Thornquay", "Veldmarsh", "Pellbrook", "Orrinvale", "Lowmere", "Brackhollow", "Wexcombe"}
	if m < len(names) {
		return names[m]
	}
	return fmt.Sprintf("Maker %02d", m+1)
}

// cutNormal is a normal deviate within two standard deviations.
func cutNormal(rng *rand.Rand) float64 {
	for {
		if z := rng.NormFloat64(); math.Abs(z) < 2 {
			return z
		}
	}
}

func newFilter(rng *rand.Rand, m, k int) filter {
	f := filter{Maker: workshopMaker(m), Part: fmt.Sprintf("%c%d-%02d", workshopMaker(m)[0], m+1, k+1), maker: m}
	f.od, f.height = 76+3*cutNormal(rng), 80+6*cutNormal(rng)
	f.width = f.height - 34 + 2*cutNormal(rng)
	f.gauge = 0.47 + 0.05*cutNormal(rng)
	f.pleats = math.Round(62 + 5*cutNormal(rng))
	f.depth = (f.od/2 - 4) * (0.32 + 0.04*cutNormal(rng))
	f.grammage = 195 + 12*cutNormal(rng)
	f.base, f.frame, f.other = 48+5*cutNormal(rng), 22+4*cutNormal(rng), 16+2*cutNormal(rng)
	f.level = 0.13 * cutNormal(rng)
	return f
}

// surface of the can, cm².
func (f filter) surface() float64 { return (math.Pi*f.od*f.height + math.Pi/4*f.od*f.od) / 100 }

// changed is the filter as it is made at a time.
func (f filter) changed(changes []planted, t float64) filter {
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

// columns as the log writes them.
var workshopHeader = []string{"opened", "maker", "part", "price", "can_od_mm", "can_height_mm", "total_mass_g", "base_plate_mass_g",
	"element_mass_g", "can_mass_g", "media_mass_g", "can_gauge_mm", "pleats", "element_width_mm", "media_length_mm"}

// truth is what a measure of a filter at a time is, apart from specimens.
func (f filter) truth(measure string, t float64) float64 {
	length := 2 * f.pleats * f.depth
	area := length * f.width / 100
	can := f.surface() * f.gauge / 10 * 7.85
	switch measure {
	case "can_gauge":
		return f.gauge
	case "pleats":
		return f.pleats
	case "pleat_depth":
		return f.depth
	case "media_area":
		return area
	case "can_mass":
		return can
	case "total_mass":
		return can + f.base + f.frame + f.other + area*f.grammage/1e4
	case "price":
		return 8.2 * math.Pow(area/560, 0.88) * math.Exp(f.level+0.04*t)
	case "price_per_area":
		return 100 * f.truth("price", t) / area
	}
	return math.NaN()
}

// simulate makes one log.
func (o workshop) simulate(rng *rand.Rand) (*simulated, error) {
	s := &simulated{o: o}
	for m := range o.Makers {
		for k := range o.Parts {
			s.Filters = append(s.Filters, newFilter(rng, m, k))
		}
	}
	var text bytes.Buffer
	w := csv.NewWriter(&text)
	if err := w.Write(workshopHeader); err != nil {
		return nil, err
	}
	for i := range o.Openings {
		at := i % len(s.Filters) // every part in turn, then at random
		if i >= 2*len(s.Filters) {
			at = rng.IntN(len(s.Filters))
		}
		f := &s.Filters[at]
		f.opened++
		day := rng.IntN(workshopDays)
		if err := w.Write(o.opening(rng, f.changed(o.Changes, float64(day)/365.25), day)); err != nil {
			return nil, err
		}
	}
	if o.Largest {
		if err := w.Write(o.opening(rng, s.beyond(), workshopDays-40)); err != nil {
			return nil, err
		}
	}
	w.Flush()
	log, err := dataset.Read(&text, "workshop.csv", dataset.Options{})
	if err != nil {
		return nil, err
	}
	checked, err := check.Run(log, check.Options{})
	if err != nil {
		return nil, err
	}
	s.Log = log.SetAside(checked.SetAside)
	return s, nil
}

// opening is one row of the log.
func (o workshop) opening(rng *rand.Rand, f filter, day int) []string {
	t := float64(day) / 365.25
	heavy := distuv.StudentsT{Mu: 0, Sigma: math.Sqrt(3.0 / 5), Nu: 5, Src: rng}
	e := func() float64 {
		switch o.Noise {
		case noiseHeavy:
			return heavy.Rand()
		case noiseNone:
			return 0
		}
		return rng.NormFloat64()
	}
	// The specimen differs from its part, then each reading from the specimen.
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
	if o.Noise != noiseNone && rng.Float64() < 0.06 { // a pleat more or fewer
		f.pleats += float64(2*rng.IntN(2) - 1)
	}
	media := length * f.width / 100 * f.grammage / 1e4
	can := f.surface() * f.gauge / 10 * 7.85
	price := f.truth("price", t) * math.Exp(0.02*e())
	cell := func(v, sd float64, decimals int, slip float64) string {
		v += sd * e()
		if o.Noise == noiseSlips && rng.Float64() < 0.02 {
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
	return []string{workshopDay.AddDate(0, 0, day).Format(time.DateOnly), f.Maker, f.Part, cell(price, 0, 2, 3),
		cell(f.od, 0.05, 1, 8), cell(f.height, 0.05, 1, 8), cell(can+f.base+f.frame+f.other+media, 0.05, 1, 60), cell(f.base, 0.05, 1, 12),
		cell(f.frame+media, 0.05, 1, 10), cell(can, 0.05, 1, 25), cell(media, 0.05, 1, 4), gauge, cell(f.pleats, 0, 0, 8),
		cell(f.width, 0.1, 1, 6), cell(length, 1.5, 0, 150)}
}
