package check

import (
	"math"

	"pleatstat/dataset"
)

// packOD is the outside diameter available to the pleats, mm: the element's, else
// the can's.
func packOD(x *row) float64 {
	if x[elementOD] == x[elementOD] {
		return x[elementOD]
	}
	return x[canOD]
}

// foldRoom is the circumference at the inner ends of the pleats in mm, π(OD −
// 2·depth), and foldNeed the length that the two layers of every pleat take up
// there. foldRoom is NaN where the pleats are deeper than the pack.
func foldRoom(x *row) float64 {
	if c := math.Pi * (packOD(x) - 2*pleatDepth(x)); c > 0 {
		return c
	}
	return math.NaN()
}

func foldNeed(x *row) float64 { return 2 * x[mediaThickness] * x[pleats] }

// pleatLimits: the pleats must fit into the pack, and their layers round its
// inner circumference.
func pleatLimits() []limit {
	deep := func(across measure, what string) limit {
		return limit{
			of:     []measure{mediaLength, pleats, across},
			excess: func(x *row) float64 { return 2 * pleatDepth(x) / x[across] },
			room:   RoomGeometry,
			says: func(x *row, show shower) string {
				return "pleats " + show(elementWidth, pleatDepth(x)) + " deep do not fit " + what + " of " + show(across, x[across])
			},
		}
	}
	folds := func(across measure) limit {
		return limit{
			of: []measure{mediaThickness, pleats, mediaLength, across},
			excess: func(x *row) float64 {
				if across == canOD && x[elementOD] == x[elementOD] {
					return math.NaN() // the element's own diameter is the better bound
				}
				return foldNeed(x) / foldRoom(x)
			},
			room: FoldsImpossible - 1,
			says: func(x *row, show shower) string {
				return show(pleats, x[pleats]) + " pleats of media " + show(mediaThickness, x[mediaThickness]) + " thick need " + show(elementWidth, foldNeed(x)) +
					" round their inner ends, and there are " + show(elementWidth, foldRoom(x))
			},
		}
	}
	return []limit{
		deep(canOD, "a can"), deep(elementOD, "an element"), folds(elementOD), folds(canOD),
		{
			of:     []measure{mediaLength, pleats, coreID, elementOD},
			excess: func(x *row) float64 { return (2*pleatDepth(x) + x[coreID]) / x[elementOD] },
			room:   RoomGeometry,
			says: func(x *row, show shower) string {
				return "pleats " + show(elementWidth, pleatDepth(x)) + " deep round a centre tube of " + show(coreID, x[coreID]) +
					" do not fit an element of " + show(elementOD, x[elementOD])
			},
		},
	}
}

// touching notes, once per product, packs so full that the folds touch at their
// inner ends.
func touching(t *table, f *findings) {
	if t.value[mediaThickness] == nil || t.value[pleats] == nil || t.value[mediaLength] == nil {
		return
	}
	reported := map[int32]bool{}
	x := t.blank
	for i := range t.n {
		t.load(i, &x)
		need, room := foldNeed(&x), foldRoom(&x)
		if !(need > FoldsTouch*room) || reported[t.product[i]] || need > FoldsImpossible*room {
			continue
		}
		reported[t.product[i]] = true
		f.at(i, pleats.column(), dataset.Note, t.show(pleats, x[pleats])+" pleats of media "+t.show(mediaThickness, x[mediaThickness])+" thick need "+
			t.show(elementWidth, need)+" round their inner ends, and there are "+t.show(elementWidth, room)+": the folds touch, and not all of the area is open")
	}
}
