package check

import (
	"math"
	"slices"
	"sync"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/changepoint"
)

// measure is a numeric column that the check knows something about.
type measure int

const (
	price measure = iota
	canOD
	canHeight
	gasketOD
	totalMass
	basePlateMass
	elementMass
	canMass
	mediaMass
	springMass
	canGauge
	basePlateGauge
	inletHoles
	inletHoleDiameter
	pleats
	elementWidth
	elementOD
	mediaLength
	mediaThickness
	mediaArea // only where it was logged instead of length and width
	claimedEfficiency
	claimedParticle
	stripWidth
	coreID
	retainerMass

	named // later measures have no relations, only their own range
)

// maxMeasures bounds the numeric columns, so that a set of them fits into 64
// bits.
const maxMeasures = 64

// Entries of a row after its measures.
const (
	density = maxMeasures + iota // of the can's material, g/cm³; NaN where the material has no fixed density
	backed                       // 1 where the media has wire in it, else 0
	rowSize
)

var namedColumns = [named]string{
	"price", "can_od", "can_height", "gasket_od", "total_mass", "base_plate_mass", "element_mass", "can_mass",
	"media_mass", "spring_mass", "can_gauge", "base_plate_gauge", "inlet_holes", "inlet_hole_diameter", "pleats",
	"element_width", "element_od", "media_length", "media_thickness", "media_area", "claimed_efficiency",
	"claimed_particle_size", "strip_width", "core_id", "retainer_mass",
}

// numericColumns lists the numeric columns a log may have: the named ones, then the
// rest in canonical order.
var numericColumns = sync.OnceValue(func() []catalogue.Column {
	out := make([]catalogue.Column, named)
	for c := range catalogue.Recorded() {
		if k := slices.Index(namedColumns[:], c.Name); k >= 0 {
			out[k] = c
		} else if c.Numeric() {
			out = append(out, c)
		}
	}
	return out[:min(len(out), maxMeasures)]
})

func (m measure) facts() *catalogue.Column { return &numericColumns()[m] }
func (m measure) column() string           { return numericColumns()[m].Name }

// kind is the kind of the measure's column, which decides the units it can be
// written in.
func (m measure) kind() catalogue.Kind { return numericColumns()[m].Kind }

// row is one opening's readings in base units; NaN = blank.
type row [rowSize]float64

// table is the check's working copy of the log. Slips are corrected in it as they
// are found, so that a slip does not count against the part's other openings.
type table struct {
	log    *dataset.Log
	n      int
	value  [maxMeasures][]float64 // nil where the log lacks the column
	have   []measure              // measures the log has
	opened []float64              // decimal year; nil where the log has no dates
	blank  row                    // a row of NaN with steel as material, from which a row is filled
	can    []float64              // density of the can's material; nil = all steel
	backed []bool                 // media with wire in it; nil = none

	// Rows are grouped by product. A product that became another filter under the
	// same number counts as two; see changes.
	product  []int32
	products int
	start    []int // rows of product p are rows[start[p]:start[p+1]]
	rows     []int
}

func newTable(log *dataset.Log) *table {
	t := &table{log: log, n: log.Rows(), opened: log.Floats("opened"), products: log.Products()}
	for k := range t.blank {
		t.blank[k] = math.NaN()
	}
	t.blank[density], t.blank[backed] = catalogue.SteelDensity, 0
	for k := range numericColumns() {
		m := measure(k)
		if t.value[m] = log.Floats(m.column()); t.value[m] != nil {
			t.have = append(t.have, m)
		}
	}
	t.materials()
	t.dropWorkedOutAreas()
	t.wholeMeans()
	t.product = make([]int32, t.n)
	for i := range t.product {
		t.product[i] = int32(log.Product(i))
	}
	t.group()
	return t
}

// materials reads the materials of cans and media.
func (t *table) materials() {
	if words := t.log.Strings("can_material"); words != nil {
		t.can = make([]float64, t.n)
		for i, w := range words {
			switch w {
			case "", "steel":
				t.can[i] = catalogue.SteelDensity
			case "aluminium":
				t.can[i] = catalogue.AluminiumDensity
			default:
				t.can[i] = math.NaN()
			}
		}
	}
	for i, w := range t.log.Strings("media_type") {
		if w == "wire-backed synthetic" || w == "mesh" {
			if t.backed == nil {
				t.backed = make([]bool, t.n)
			}
			t.backed[i] = true
		}
	}
}

// wholeMeans rounds the means of repeated counts whose readings are all whole
// numbers: 66.5 from 66 and 67 is not a slip.
func (t *table) wholeMeans() {
	for _, m := range t.have {
		if !m.facts().Whole {
			continue
		}
		for _, r := range t.log.Repeats(m.column()) {
			cell, _ := t.log.Cell(r.Row, m.column())
			if !slices.ContainsFunc(cell.Readings, func(v float64) bool { return v != math.Trunc(v) }) {
				t.value[m][r.Row] = math.Round(t.value[m][r.Row])
			}
		}
	}
}

// dropWorkedOutAreas keeps only logged areas: the frame's media_area is length
// times width wherever both were measured.
func (t *table) dropWorkedOutAreas() {
	area, length, width := t.value[mediaArea], t.value[mediaLength], t.value[elementWidth]
	if area == nil || length == nil || width == nil {
		return
	}
	for i := range area {
		if length[i] == length[i] && width[i] == width[i] {
			area[i] = math.NaN()
		}
	}
}

// group lists the rows of every product, in file order.
func (t *table) group() {
	t.start = make([]int, t.products+1)
	for _, p := range t.product {
		t.start[p+1]++
	}
	for p := range t.products {
		t.start[p+1] += t.start[p]
	}
	next := slices.Clone(t.start)
	t.rows = make([]int, t.n)
	for i, p := range t.product {
		t.rows[next[p]] = i
		next[p]++
	}
}

// changes finds the parts that became another filter, and counts their openings
// from then on as a product of their own.
func (t *table) changes() []changepoint.Change {
	products := make([][]int, t.products)
	for p := range products {
		products[p] = t.openingsOf(p)
	}
	out, splitOff := changepoint.Find(t.log, t.column, products)
	for _, of := range splitOff {
		for _, i := range of {
			t.product[i] = int32(t.products)
		}
		t.products++
	}
	if len(out) > 0 {
		t.group()
	}
	return out
}

// column is the working copy of a named measure.
func (t *table) column(name string) []float64 {
	return t.value[slices.Index(namedColumns[:], name)]
}

// openingsOf lists the rows of a product.
func (t *table) openingsOf(p int) []int { return t.rows[t.start[p]:t.start[p+1]] }

// openings lists the rows of the same product as row i, itself included.
func (t *table) openings(i int) []int { return t.openingsOf(int(t.product[i])) }

// load copies one opening's readings into a row that started as t.blank.
func (t *table) load(i int, x *row) {
	for _, m := range t.have {
		x[m] = t.value[m][i]
	}
	if t.can != nil {
		x[density] = t.can[i]
	}
	if t.backed != nil {
		x[backed] = 0
		if t.backed[i] {
			x[backed] = 1
		}
	}
}

// sampleRows bounds the rows from which centres and scales are estimated; a
// median of that many is known to better than 1 % of its scale.
const sampleRows = 20_000

// sample lists up to sampleRows rows, evenly spread over the log.
func (t *table) sample() []int {
	k := min(t.n, sampleRows)
	out := make([]int, k)
	for j := range out {
		out[j] = j * t.n / k
	}
	return out
}
