package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
)

// AgreeingReadings is how many readings of a balance, caliper or tape must agree
// before two rows count as one row entered twice. Counts and prices do not count:
// they agree within a part anyway.
const AgreeingReadings = 3

// duplicates reports rows of one part and day with identical readings.
func duplicates(t *table, f *findings) {
	type print struct {
		hash uint64
		row  int
	}
	hashes := t.hashes()
	var prints []print
	for p := range t.products {
		rows := t.openingsOf(p)
		if len(rows) < 2 {
			continue
		}
		prints = prints[:0]
		for _, i := range rows {
			prints = append(prints, print{hashes[i], i})
		}
		slices.SortFunc(prints, func(a, b print) int {
			return cmp.Or(cmp.Compare(a.hash, b.hash), cmp.Compare(a.row, b.row))
		})
		for k := 1; k < len(prints); k++ {
			a, b := prints[k-1].row, prints[k].row
			if prints[k-1].hash == prints[k].hash && t.agree(a, b) {
				reportTwice(t, f, a, b)
			}
		}
	}
}

func reportTwice(t *table, f *findings, first, second int) {
	f.problems = append(f.problems, dataset.Problem{
		File: f.log.File(), Line: f.log.Line(second), Name: "part", Text: t.partName(second),
		Message:  fmt.Sprintf("every reading is the same as in line %d: the same opening entered twice?", f.log.Line(first)),
		Severity: dataset.Doubtful,
	})
}

// hashes returns a hash of each row's readings and date. It works column by
// column, since fetching the readings row by row takes longer than hashing them.
func (t *table) hashes() []uint64 {
	const prime = 0x9e3779b97f4a7c15
	h := make([]uint64, t.log.Rows())
	for i := range h {
		h[i] = prime
	}
	mix := func(column []float64) {
		for i, v := range column {
			b := math.Float64bits(v)
			if v != v {
				b = 1 // all NaN hash alike
			}
			x := (h[i] ^ b) * prime
			h[i] = x ^ x>>29
		}
	}
	for _, m := range t.have {
		mix(t.value[m])
	}
	mix(t.opened)
	return h
}

// agree reports whether two rows agree in every reading, with enough readings for
// that to be no coincidence.
func (t *table) agree(a, b int) bool {
	if t.opened != nil && !same(t.opened[a], t.opened[b]) {
		return false
	}
	read := 0
	for _, m := range t.have {
		column := t.value[m]
		if !same(column[a], column[b]) {
			return false
		}
		kind := m.kind()
		if column[a] == column[a] && (kind == catalogue.KindLength || kind == catalogue.KindMass || kind == catalogue.KindArea) {
			read++
		}
	}
	return read >= AgreeingReadings
}

func same(a, b float64) bool { return a == b || a != a && b != b }

func (t *table) partName(i int) string {
	maker, _ := t.log.Cell(i, "maker")
	part, _ := t.log.Cell(i, "part")
	return maker.Text + " " + part.Text
}
