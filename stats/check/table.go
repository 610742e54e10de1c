package check

import (
	"math"
	"slices"

	"pleatstat/dataset"
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

	measures
)

// column gives the canonical names, in the order of the measures.
var columnNames = [measures]string{
	"price", "can_od", "can_height", "gasket_od", "total_mass", "base_plate_mass", "element_mass", "can_mass",
	"media_mass", "spring_mass", "can_gauge", "base_plate_gauge", "inlet_holes", "inlet_hole_diameter", "pleats",
	"element_width", "element_od", "media_length", "media_thickness", "media_area", "claimed_efficiency",
	"claimed_particle_size",
}

func (m measure) column() string { return columnNames[m] }

// kind of the measure's column, which says in which units it can be written.
func (m measure) kind() dataset.Kind {
	switch m {
	case price:
		return dataset.KindMoney
	case totalMass, basePlateMass, elementMass, canMass, mediaMass, springMass:
		return dataset.KindMass
	case inletHoles, pleats:
		return dataset.KindCount
	case mediaArea:
		return dataset.KindArea
	case claimedEfficiency:
		return dataset.KindPercent
	case claimedParticle:
		return dataset.KindParticle
	}
	return dataset.KindLength
}

// row is one opening's readings in base units; NaN = blank.
type row [measures]float64

// table is the check's working copy of the log. Values change as slips are
// found, so that a slip does not count against the part's other openings.
type table struct {
	log    *dataset.Log
	n      int
	value  [measures][]float64 // nil where the log lacks the column
	opened []float64           // decimal year; nil where the log has no dates

	start []int // rows of product p are rows[start[p]:start[p+1]]
	rows  []int
}

func newTable(log *dataset.Log) *table {
	t := &table{log: log, n: log.Rows(), opened: log.Floats("opened")}
	for m := range measures {
		t.value[m] = log.Floats(m.column())
	}
	t.dropWorkedOutAreas()
	t.group()
	return t
}

// dropWorkedOutAreas leaves only areas that were logged: the frame's media_area
// is length times width wherever both were measured.
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
	t.start = make([]int, t.log.Products()+1)
	for i := range t.n {
		t.start[t.log.Product(i)+1]++
	}
	for p := range t.log.Products() {
		t.start[p+1] += t.start[p]
	}
	next := slices.Clone(t.start)
	t.rows = make([]int, t.n)
	for i := range t.n {
		p := t.log.Product(i)
		t.rows[next[p]] = i
		next[p]++
	}
}

// openings lists the rows of the same product as row i, itself included.
func (t *table) openings(i int) []int {
	p := t.log.Product(i)
	return t.rows[t.start[p]:t.start[p+1]]
}

// load copies one opening's readings.
func (t *table) load(i int, x *row) {
	for m := range measures {
		if v := t.value[m]; v != nil {
			x[m] = v[i]
		} else {
			x[m] = math.NaN()
		}
	}
}

// sampleRows bounds the rows that centres and scales are estimated from; a
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
