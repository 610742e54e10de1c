package check

import (
	"math"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/num"
)

const (
	// MassHistory is the least number of other openings of the part.
	MassHistory = 2

	// MassFollows decides whether a component has changed or was misread: it has
	// changed if the mass of the whole moved by between MassFollows and
	// 1+MassFollows times the component's change.
	MassFollows = 0.5

	// MassVisible is the smallest change of a component, as a share of the whole,
	// that can be seen in the whole: openings of one part differ by a few per
	// cent. Common practice, no source.
	MassVisible = 0.03
)

// wholeOf maps the mass of a component to the mass that includes it.
var wholeOf = map[measure]measure{
	basePlateMass: totalMass, elementMass: totalMass, canMass: totalMass, springMass: totalMass, retainerMass: totalMass, mediaMass: elementMass,
}

// masses reports as doubtful the masses that lie beyond the part's own history
// while its other masses do not show the change, before they count as a record or
// a change.
func masses(t *table, m *model, f *findings) {
	reported := f.reported()
	for _, k := range t.have {
		if k.kind() != catalogue.KindMass {
			continue
		}
		for i := range t.n {
			if v := t.value[k][i]; m.siblingFar(i, k, v) && !reported[dataset.CellRef{Row: i, Column: k.column()}] && m.massAlone(i, k, v) {
				f.at(i, k.column(), dataset.Doubtful, m.others(i, k)+notMoved)
			}
		}
	}
}

// notMoved gives the reason why such a reading is doubted.
const notMoved = ", and its other masses have not moved with it"

// massAlone reports whether a mass lies beyond the part's history while its other
// masses show no such change.
func (m *model) massAlone(i int, k measure, v float64) bool {
	was := m.t.history(i, k)
	if !(m.siblingZ(i, k, v) > gate) || was != was {
		return false
	}
	if k == totalMass {
		return m.wholeAlone(i, v, was)
	}
	w, ok := wholeOf[k]
	if !ok || m.t.value[w] == nil {
		return false
	}
	whole := m.t.value[w][i]
	if !(math.Abs(v-was) > MassVisible*whole) {
		return false
	}
	follows := (whole - m.t.history(i, w)) / (v - was)
	return follows < MassFollows || follows > 1+MassFollows
}

// wholeAlone reports whether the total mass has moved further than the changes of
// its components explain. At least two of base plate, element and can must have
// been weighed, now and before.
func (m *model) wholeAlone(i int, v, was float64) bool {
	expected, known := was, 0
	for _, p := range []measure{basePlateMass, elementMass, canMass} {
		column := m.t.value[p]
		if column == nil {
			continue
		}
		if before := m.t.history(i, p); before == before && column[i] == column[i] {
			expected += column[i] - before
			known++
		}
	}
	return known >= 2 && math.Abs(math.Log(v/expected)) > gate*m.siblingScale[totalMass]
}

// history returns the median of the part's other openings; NaN below MassHistory.
func (t *table) history(i int, k measure) float64 {
	var v []float64
	for _, j := range t.openings(i) {
		if x := t.value[k][j]; j != i && x == x {
			v = append(v, x)
		}
	}
	if len(v) < MassHistory {
		return math.NaN()
	}
	return num.Median(v)
}
