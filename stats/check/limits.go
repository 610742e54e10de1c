package check

import (
	"math"
	"slices"

	"pleatstat/dataset/catalogue"
)

// limit is a bound that no filter can break, however odd: readings that break it
// are impossible and have to be set aside from fits.
type limit struct {
	of     []measure
	excess func(x *row) float64 // ratio of the row to the limit; at most 1 within it
	room   float64              // excess over 1 allowed for measurement error
	says   func(x *row, show shower) string
}

// Thresholds of what is possible. The range of a single column is part of its
// entry in package catalogue.
const (
	// RoomWeighing is the relative measurement error allowed in a comparison of
	// masses: rounding, swarf, a smear of oil. Common practice, no source.
	RoomWeighing = 0.03

	// RoomGeometry is the relative measurement error allowed in a comparison of
	// sizes: a caliper held askew on a soft gasket. Common practice, no source.
	RoomGeometry = 0.05

	// CanFactor is the largest possible ratio of a can's mass to the mass that its
	// gauge, size and material imply, and its inverse the smallest: rim, dome and
	// coating change the mass by a tenth at most. Common practice, no source.
	CanFactor = 2.0

	// LightestMedia and HeaviestMedia are in g/m²: lighter sheets are tissue and
	// heavier ones board; filter media lies between 80 and 300. Common practice,
	// no source.
	LightestMedia = 20.0
	HeaviestMedia = 800.0

	// ThinnestMedia and DensestMedia are in g/cm³: dry cellulose itself has about
	// 1.5 (handbook value, from memory), which porous media cannot reach; below
	// 0.03 it would be mostly air.
	ThinnestMedia = 0.03
	DensestMedia  = 1.5

	// HeaviestBacked in g/m² and DensestBacked in g/cm³ are the bounds for mesh
	// and wire-backed media: woven wire of steel (7.85 g/cm³) is at least half
	// open, and a net of 1 mm woven like that weighs under 4000 g/m². Common
	// practice, no source.
	HeaviestBacked = 4000.0
	DensestBacked  = 4.0

	// FoldsTouch is the ratio of the length that the pleats need at their inner
	// ends (two layers of media each) to the circumference there from which they
	// touch and shut off a part of their area. Geometry.
	FoldsTouch = 1.0

	// FoldsImpossible is the ratio from which the pleats cannot fit. Media gives
	// way, and its thickness is measured with hardly any pressure; a quarter too
	// much is beyond that. Common practice, no source.
	FoldsImpossible = 1.25
)

// excessScale is the scale of the log of an excess, so that a limit broken by
// little weighs little against the other evidence.
const excessScale = 0.02

// broken reports whether a row exceeds a limit by more than the measurement
// error.
func (l *limit) broken(x *row) bool { return l.excess(x) > 1+l.room }

// cost returns the cost of a broken limit, 0 for one that holds.
func (l *limit) cost(x *row) float64 {
	if e := l.excess(x); e > 1+l.room {
		return min(brokenCost, weight(math.Log(e)/excessScale))
	}
	return 0
}

// outside returns how many times v lies outside [low, high]; at most 1 within.
func outside(v, low, high float64) float64 {
	if v <= 0 {
		return math.Inf(1)
	}
	return max(v/high, low/v)
}

// columnLimit is the possible range of one column; a count must also be whole.
func columnLimit(m measure) limit {
	c := m.facts()
	high := c.Possible.High
	if high == 0 {
		high = math.Inf(1)
	}
	return limit{
		of: []measure{m},
		excess: func(x *row) float64 {
			if v := x[m]; c.Whole && v == v && v != math.Trunc(v) {
				return math.Inf(1)
			}
			return outside(x[m], c.Possible.Low, high)
		},
		says: func(x *row, show shower) string {
			switch {
			case c.Whole && x[m] != math.Trunc(x[m]):
				return "no whole number, and " + words(m) + " are counted"
			case x[m] < c.Possible.Low:
				return "no spin-on filter goes below " + show(m, c.Possible.Low)
			}
			return "no spin-on filter goes beyond " + show(m, high)
		},
	}
}

// within is the limit that a length inside another does not exceed it.
func within(inner, outer measure, says func(x *row, show shower) string) limit {
	return limit{of: []measure{inner, outer}, excess: func(x *row) float64 { return x[inner] / x[outer] }, room: RoomGeometry, says: says}
}

// limits lists the limits that apply to the measures of a log.
func limits(have []measure) []limit {
	var out []limit
	for _, m := range have {
		if c := m.facts(); c.Possible != (catalogue.Range{}) || c.Whole {
			out = append(out, columnLimit(m))
		}
	}
	return slices.Concat(out, massLimits(), sizeLimits(), pleatLimits(), mediaLimits())
}

func massLimits() []limit {
	parts := []measure{basePlateMass, elementMass, canMass, springMass, retainerMass}
	return []limit{
		{
			of:     append([]measure{totalMass}, parts...),
			excess: func(x *row) float64 { return sum(x, parts) / x[totalMass] },
			room:   RoomWeighing,
			says: func(x *row, show shower) string {
				return "the parts (" + show(totalMass, sum(x, parts)) + ") outweigh the whole (" + show(totalMass, x[totalMass]) + ")"
			},
		},
		{
			of:     []measure{mediaMass, elementMass},
			excess: func(x *row) float64 { return x[mediaMass] / x[elementMass] },
			room:   RoomWeighing,
			says: func(x *row, show shower) string {
				return "the media (" + show(mediaMass, x[mediaMass]) + ") is heavier than its element (" + show(elementMass, x[elementMass]) + ")"
			},
		},
		{
			of:     []measure{canMass, canGauge, canOD, canHeight},
			excess: func(x *row) float64 { return outside(x[canMass]/sheetMass(x), 1/CanFactor, CanFactor) },
			says: func(x *row, show shower) string {
				return "by the density of " + material(x) + " a can of this size with walls of " + show(canGauge, x[canGauge]) + " weighs about " +
					show(canMass, sheetMass(x)) + ", not " + show(canMass, x[canMass])
			},
		},
	}
}

// material names the can's material, inferred from its density.
func material(x *row) string {
	if x[density] == catalogue.AluminiumDensity {
		return "aluminium"
	}
	return "steel"
}

func sizeLimits() []limit {
	return []limit{
		within(elementWidth, canHeight, func(x *row, show shower) string {
			return "an element of " + show(elementWidth, x[elementWidth]) + " would be wider than the can is tall (" + show(canHeight, x[canHeight]) + ")"
		}),
		within(elementWidth, stripWidth, func(x *row, show shower) string {
			return "the media between its potted edges (" + show(elementWidth, x[elementWidth]) + ") is wider than the whole strip (" + show(stripWidth, x[stripWidth]) + ")"
		}),
		within(gasketOD, canOD, func(x *row, show shower) string {
			return "a gasket of " + show(gasketOD, x[gasketOD]) + " is wider than the can (" + show(canOD, x[canOD]) + ")"
		}),
		within(elementOD, canOD, func(x *row, show shower) string {
			return "an element " + show(elementOD, x[elementOD]) + " across does not fit the can (" + show(canOD, x[canOD]) + ")"
		}),
		within(coreID, elementOD, func(x *row, show shower) string {
			return "a centre tube of " + show(coreID, x[coreID]) + " is wider than its element (" + show(elementOD, x[elementOD]) + ")"
		}),
	}
}

func mediaLimits() []limit {
	either := func(x *row, plain, withWire float64) float64 {
		if x[backed] != 0 {
			return withWire
		}
		return plain
	}
	return []limit{
		{
			of: []measure{mediaMass, mediaLength, elementWidth, mediaArea},
			excess: func(x *row) float64 {
				return outside(grammage(x), LightestMedia, either(x, HeaviestMedia, HeaviestBacked))
			},
			says: func(x *row, show shower) string {
				return "no filter media has " + digits(grammage(x)) + " g/m²"
			},
		},
		{
			of: []measure{mediaMass, mediaLength, elementWidth, mediaArea, mediaThickness},
			excess: func(x *row) float64 {
				return outside(mediaDensity(x), ThinnestMedia, either(x, DensestMedia, DensestBacked))
			},
			says: func(x *row, show shower) string {
				return "no filter media has a density of " + digits(mediaDensity(x)) + " g/cm³"
			},
		},
	}
}

// sum adds the masses of the components that were weighed, g.
func sum(x *row, parts []measure) float64 {
	var s float64
	for _, m := range parts {
		if x[m] == x[m] {
			s += x[m]
		}
	}
	return s
}
