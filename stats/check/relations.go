package check

import (
	"math"
)

// relation ties readings of one filter to each other, or one reading to the
// log's usual range, by a ratio whose logarithm scatters about a centre.
type relation struct {
	name   string // "media mass for its area"
	of     []measure
	ratio  func(x *row) float64 // NaN where a reading is blank
	middle float64              // before any data; common practice, no source
	prior  float64              // scale of the log ratio before any data; 0 = unknown
	floor  float64              // least scale: parts differ by that much whatever a small log shows
}

func (r *relation) marginal() bool { return len(r.of) == 1 }

// canSurface is the area of the can's wall and dome in cm².
func canSurface(x *row) float64 {
	return (math.Pi*x[canOD]*x[canHeight] + math.Pi/4*x[canOD]*x[canOD]) / 100
}

// sheetMass is the mass of the can in g that gauge, size and density imply.
func sheetMass(x *row) float64 { return canSurface(x) * x[canGauge] / 10 * x[density] }

// impliedGauge is the wall thickness in mm that mass, size and material imply.
func impliedGauge(x *row) float64 { return x[canMass] / canSurface(x) / x[density] * 10 }

// areaOf is the media's area in cm², one face: length times width, else the
// logged area.
func areaOf(x *row) float64 {
	if a := x[mediaLength] * x[elementWidth] / 100; a == a {
		return a
	}
	return x[mediaArea]
}

func grammage(x *row) float64   { return x[mediaMass] / areaOf(x) * 1e4 }
func pleatDepth(x *row) float64 { return x[mediaLength] / (2 * x[pleats]) }

// unbacked excludes media with wire in it from what is usual for paper.
func unbacked(x *row, v float64) float64 {
	if x[backed] != 0 {
		return math.NaN()
	}
	return v
}

// mediaDensity in g/cm³.
func mediaDensity(x *row) float64 { return grammage(x) / x[mediaThickness] / 1000 }

// relations lists the relations between the measures of a log, in a fresh slice
// that the model completes.
func relations(have []measure) []relation {
	var out []relation
	for _, m := range have {
		u := m.facts().Usual
		if u.Least == 0 {
			continue
		}
		out = append(out, relation{
			name: words(m), of: []measure{m}, floor: u.Least,
			middle: u.Middle, prior: u.Spread,
			ratio: func(x *row) float64 { return x[m] },
		})
	}
	ratio := func(a, b measure, middle, prior, floor float64) relation {
		return relation{
			name: words(a) + " against " + words(b), of: []measure{a, b},
			middle: middle, prior: prior, floor: floor,
			ratio: func(x *row) float64 { return x[a] / x[b] },
		}
	}
	media := []measure{mediaMass, mediaLength, elementWidth, mediaArea}
	return append(out,
		relation{
			name: "can mass against gauge, size and the density of steel", of: []measure{canMass, canGauge, canOD, canHeight},
			middle: 1, prior: 0.10, floor: 0.06,
			ratio: func(x *row) float64 { return x[canMass] / sheetMass(x) },
		},
		relation{
			name: "total mass against the can that gauge and size make", of: []measure{totalMass, canGauge, canOD, canHeight},
			middle: 2.2, prior: 0.25, floor: 0.15,
			ratio: func(x *row) float64 { return x[totalMass] / sheetMass(x) },
		},
		ratio(canMass, totalMass, 0.42, 0.25, 0.12),
		ratio(basePlateMass, totalMass, 0.26, 0.30, 0.15),
		ratio(elementMass, totalMass, 0.20, 0.35, 0.20),
		ratio(mediaMass, elementMass, 0.38, 0.40, 0.25),
		ratio(springMass, totalMass, 0.03, 0.60, 0.35),
		relation{
			name: "base plate mass against its gauge and the can's diameter", of: []measure{basePlateMass, basePlateGauge, canOD},
			prior: 0, floor: 0.15,
			ratio: func(x *row) float64 { return x[basePlateMass] / (x[basePlateGauge] * x[canOD] * x[canOD]) },
		},
		relation{
			name: "media mass for its area", of: media, middle: 200, prior: 0.25, floor: 0.15,
			ratio: func(x *row) float64 { return unbacked(x, grammage(x)) },
		},
		relation{
			name: "media mass for its area and thickness", of: append(media[:len(media):len(media)], mediaThickness),
			middle: 0.33, prior: 0.35, floor: 0.20,
			ratio: func(x *row) float64 { return unbacked(x, mediaDensity(x)) },
		},
		relation{
			name: "media length for its pleats", of: []measure{mediaLength, pleats}, middle: 10, prior: 0.30, floor: 0.15,
			ratio: func(x *row) float64 { return pleatDepth(x) },
		},
		relation{
			name: "pleat depth against the can's diameter", of: []measure{mediaLength, pleats, canOD},
			middle: 0.14, prior: 0.30, floor: 0.15,
			ratio: func(x *row) float64 { return pleatDepth(x) / x[canOD] },
		},
		relation{
			name: "media area for its pleats and width", of: []measure{mediaArea, pleats, elementWidth},
			middle: 0.20, prior: 0.35, floor: 0.20,
			ratio: func(x *row) float64 { return x[mediaArea] / (x[pleats] * x[elementWidth]) },
		},
		ratio(elementWidth, canHeight, 0.52, 0.30, 0.15),
		ratio(gasketOD, canOD, 0.88, 0.10, 0.05),
		ratio(elementOD, canOD, 0.91, 0.10, 0.05),
		relation{
			name: "total mass against the can's size", of: []measure{totalMass, canOD, canHeight},
			middle: 0.85, prior: 0.40, floor: 0.20,
			ratio: func(x *row) float64 { return x[totalMass] / canSurface(x) },
		},
		relation{
			name: "price for the media area", of: []measure{price, mediaLength, elementWidth, mediaArea}, floor: 0.35,
			ratio: func(x *row) float64 { return x[price] / math.Pow(areaOf(x), priceExponent) },
		},
	)
}

// priceExponent is the power of the media area to which price is taken to be
// proportional: a little below 1. The check needs it only roughly.
const priceExponent = 0.9
