package sim

import (
	"encoding/csv"
	"fmt"
	"hash/fnv"
	"io"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"time"
)

// column is one column of a workshop's log.
type column struct {
	header string
	main   bool    // also in logs with the main columns only
	filled float64 // share of openings in which the cell is filled
	text   func(c *cells) string
}

// cells holds what the cells of one row are written from.
type cells struct {
	r       *rand.Rand
	ofPart  *rand.Rand // for later columns: gives the same numbers in every opening of a part
	seed    uint64
	w       *workshop
	o       opening
	p       *product
	f       found
	rough   bool // an early opening, of which less is measured
	flat    bool // the media length was not measured
	areaOf  bool // the media area was recorded in its place
	abroad  bool // bought on a trip, in euros
	decimal bool // lengths as decimals, not as fractions of an inch
}

const inch = 25.4

func fixed(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }

// readings writes one reading of v or, with probability several, two or three.
// repeat is the standard deviation of a reading.
func (c *cells) readings(v, repeat float64, decimals int, several float64) string {
	n := 1
	if c.r.Float64() < several {
		n = 2 + c.r.IntN(2)
	}
	texts := make([]string, n)
	for i := range texts {
		texts[i] = fixed(cutNormal(c.r, v, repeat), decimals)
	}
	return strings.Join(texts, "; ")
}

// eighths writes a length in inches and eighths, as read from a tape.
func eighths(mm float64) string {
	n := int(math.Round(mm / inch * 8))
	whole, part := n/8, n%8
	if part == 0 {
		return strconv.Itoa(whole)
	}
	below := 8
	for part%2 == 0 {
		part, below = part/2, below/2
	}
	return fmt.Sprintf("%d %d/%d", whole, part, below)
}

func (c *cells) opened() string {
	d := c.o.date()
	switch {
	case c.rough && c.r.Float64() < 0.06:
		return d.Format("2006")
	case c.rough && c.r.Float64() < 0.15:
		return d.Format("2006-01")
	}
	return d.Format(time.DateOnly)
}

func (c *cells) dateCode() string {
	made := c.o.date().AddDate(0, 0, -30*(3+c.r.IntN(14)))
	year, week := made.ISOWeek()
	return fmt.Sprintf("%d-W%02d", year, week)
}

func (c *cells) note() string {
	return pick(c.r, "box dented", "glue bead uneven", "seam tight, no rust", "cut with the lathe",
		"end cap a little skewed", "gift of the pilot boat")
}

func claimed(v float64) string {
	if v == 0 {
		return ""
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func columns() []column {
	text := func(get func(*product) string) func(*cells) string {
		return func(c *cells) string { return get(c.p) }
	}
	grams := func(get func(*found) float64) func(*cells) string {
		return func(c *cells) string { return fixed(get(&c.f), 1) }
	}
	mm := func(decimals int, get func(*found) float64) func(*cells) string {
		return func(c *cells) string { return fixed(get(&c.f), decimals) }
	}
	return []column{
		{"opened", true, 1, (*cells).opened},
		{"maker", true, 1, func(c *cells) string { return c.w.makers[c.p.maker].name }},
		{"part", true, 1, text(func(p *product) string { return p.part })},
		{"price", true, 0.95, func(c *cells) string {
			if c.abroad {
				return fixed(math.Round(c.f.price*1.17*10)/10-0.05, 2)
			}
			return fixed(c.f.price, 2)
		}},
		{"price_currency", false, 1, func(c *cells) string {
			if c.abroad {
				return "EUR"
			}
			return "GBP"
		}},
		{"pack_quantity", false, 1, func(c *cells) string {
			if c.p.pack == 1 {
				return ""
			}
			return strconv.Itoa(c.p.pack)
		}},
		{"origin", false, 0.8, func(c *cells) string { return c.w.makers[c.p.maker].origin }},
		{"date_code", false, 0.6, (*cells).dateCode},
		{"thread", false, 0.9, text(func(p *product) string { return p.thread })},
		{"can_od_mm", true, 0.9, mm(1, func(f *found) float64 { return f.od })},
		{"can_height_mm", true, 0.9, mm(1, func(f *found) float64 { return f.height })},
		{"gasket_od_mm", false, 0.6, mm(1, func(f *found) float64 { return f.gasketOD })},
		{"total_mass_g", true, 0.96, grams(func(f *found) float64 { return f.total })},
		{"base_plate_mass_g", false, 0.7, grams(func(f *found) float64 { return f.base })},
		{"element_mass_g", false, 0.7, grams(func(f *found) float64 { return f.element })},
		{"can_mass_g", true, 0.75, grams(func(f *found) float64 { return f.can })},
		{"media_mass_g", true, 0.7, func(c *cells) string { return c.readings(c.f.media, 0.04, 1, 0.1) }},
		{"spring_mass_g", false, 0.5, grams(func(f *found) float64 { return f.spring })},
		{"can_gauge_mm", true, 0.9, func(c *cells) string {
			if c.rough && c.r.Float64() < 0.08 {
				return "~" + fixed(c.f.gauge, 2)
			}
			return c.readings(c.f.gauge, 0.004, 2, 0.35)
		}},
		{"base_plate_gauge_mm", false, 0.6, func(c *cells) string { return c.readings(c.f.baseGauge, 0.01, 2, 0.1) }},
		{"inlet_holes", false, 0.9, func(c *cells) string { return strconv.Itoa(c.p.holes) }},
		{"inlet_hole_diameter_mm", false, 0.6, mm(1, func(f *found) float64 { return f.holeDiameter })},
		{"pleats", true, 0.95, func(c *cells) string { return strconv.Itoa(c.f.pleats) }},
		{"element_width_in", true, 0.92, mm(2, func(f *found) float64 { return f.width / inch })},
		{"element_od_mm", false, 0.5, mm(1, func(f *found) float64 { return f.elementOD })},
		{"media_length_in", true, 1, func(c *cells) string {
			switch {
			case c.flat:
				return ""
			case c.decimal:
				return fixed(c.f.length/inch, 1)
			}
			return eighths(c.f.length)
		}},
		{"media_area_in2", false, 1, func(c *cells) string {
			if !c.flat || !c.areaOf {
				return ""
			}
			return fixed(c.f.area/(inch*inch/100), 1)
		}},
		{"media_thickness_mm", false, 0.6, func(c *cells) string { return c.readings(c.f.thickness, 0.006, 2, 0.3) }},
		{"media_type", true, 0.97, func(c *cells) string { return medias[c.p.media].name }},
		{"end_caps", false, 0.9, text(func(p *product) string { return p.endCaps })},
		{"core", false, 0.9, text(func(p *product) string { return p.core })},
		{"seam", false, 0.85, text(func(p *product) string { return p.seam })},
		{"bypass", false, 0.9, text(func(p *product) string { return p.bypass })},
		{"bypass_spring", false, 0.85, text(func(p *product) string { return p.bypassSpring })},
		{"drain_back", false, 0.95, text(func(p *product) string { return p.drainBack })},
		{"magnet", false, 0.9, text(func(p *product) string { return p.magnet })},
		{"claimed_efficiency_pct", false, 1, func(c *cells) string { return claimed(c.p.efficiency) }},
		{"claimed_particle_size_um", false, 1, func(c *cells) string { return claimed(c.p.particle) }},
		{"notes", false, 0.12, (*cells).note},
	}
}

// laterColumns returns the columns added after the demo log was first written,
// which follow the others. Each has random sources of its own (cells.r, and
// cells.ofPart for what all openings of a part share), so that the other cells do
// not change.
func laterColumns() []column { return nil }

// number returns a hash of text.
func number(text string) uint64 {
	h := fnv.New64a()
	h.Write([]byte(text)) // never fails
	return h.Sum64()
}

// blank returns the text of a cell whose value was not measured.
func blank(r *rand.Rand) string {
	switch u := r.Float64(); {
	case u < 0.02:
		return "n/a"
	case u < 0.03:
		return "?"
	case u < 0.05:
		return "-"
	}
	return ""
}

// write writes the log, one row for each opening, and returns the entry errors in it.
func (w *workshop) write(r *rand.Rand, dst io.Writer, o WorkshopOptions) ([]EntryError, error) {
	cols := append(columns(), w.later...)
	sources := make([]*rand.Rand, len(cols))
	for j, col := range cols {
		sources[j] = r
		if j >= len(cols)-len(w.later) {
			sources[j] = rand.New(rand.NewPCG(o.Seed, number(col.header)))
		}
	}
	if o.MainColumns {
		kept := cols[:0]
		for j, c := range cols {
			if c.main {
				sources[len(kept)] = sources[j]
				kept = append(kept, c)
			}
		}
		cols = kept
	}
	record := make([]string, len(cols))
	for i, c := range cols {
		record[i] = c.header
	}
	out := csv.NewWriter(dst)
	if err := out.Write(record); err != nil {
		return nil, err
	}
	plan := planEntryErrors(len(w.openings), o, w, cols)
	for i, at := range w.openings {
		c := cells{r: r, seed: o.Seed, w: w, o: at, p: &w.products[at.product], f: w.look(r, at)}
		c.rough = at.year() < 2021
		c.flat = r.Float64() < 0.22
		c.areaOf = r.Float64() < 0.5
		c.decimal = r.Float64() < 0.5
		c.abroad = i%131 == 97 && c.p.priceFactor == 1
		for j, col := range cols {
			c.r = sources[j]
			if c.r != r {
				c.ofPart = rand.New(rand.NewPCG(c.seed^number(col.header), uint64(c.o.product)))
			}
			record[j] = col.text(&c)
			filled := col.filled
			if c.rough && filled < 0.95 {
				filled *= 0.85
			}
			if filled < 1 && c.r.Float64() > filled {
				record[j] = ""
				if filled > 0.5 {
					record[j] = blank(c.r)
				}
			}
		}
		c.r = r
		plan.spoil(i, &c, record)
		if err := out.Write(record); err != nil {
			return nil, err
		}
	}
	out.Flush()
	return plan.done, out.Error()
}
