package check

import "math"

// limit is something no filter can break, however odd: readings that break it
// are impossible and have to be set aside from fits.
type limit struct {
	of     []measure
	excess func(x *row) float64 // how many times beyond the limit the row is; at most 1 within it
	room   float64              // what the error of the bench excuses beyond 1
	says   func(x *row, show shower) string
}

// Room for the error of the bench, as a share: rounding and swarf in a mass, a
// caliper held askew on a soft gasket. Common practice, no source.
const (
	roomWeighing = 0.03
	roomGeometry = 0.05

	// excessScale: an excess counts by this scale, so that a limit broken by
	// little weighs little against the other evidence.
	excessScale = 0.02
)

// broken says whether a row is beyond a limit by more than the bench can err.
func (l *limit) broken(x *row) bool { return l.excess(x) > 1+l.room }

// cost of a broken limit, nothing for one that holds.
func (l *limit) cost(x *row) float64 {
	if e := l.excess(x); e > 1+l.room {
		return min(brokenCost, weight(math.Log(e)/excessScale))
	}
	return 0
}

// outside is how many times v lies outside [low, high]; at most 1 within.
func outside(v, low, high float64) float64 {
	if v <= 0 {
		return math.Inf(1)
	}
	return max(v/high, low/v)
}

// Thresholds of limits that follow from materials.
const (
	// A can can't weigh half or twice what its gauge and size say: rim, dome
	// and coating move it by a tenth at the most. Common practice, no source.
	steelFactor = 2

	// Sheets lighter than 20 g/m² are tissue and heavier than 800 g/m² are
	// board; filter media lies between 80 and 300. Common practice, no source.
	lightestMedia, heaviestMedia = 20, 800 // g/m²

	// Dry cellulose itself has about 1.5 g/cm³ (handbook value, from memory);
	// media full of pores cannot reach it. Below 0.03 it would be mostly air.
	thinnestMedia, densestMedia = 0.03, 1.5 // g/cm³
)

// bound is the range in which a reading of a spin-on filter can lie at all:
// several times beyond anything sold. Common practice, no source.
type bound struct {
	m         measure
	low, high float64 // base units
}

var bounds = []bound{
	{canOD, 25, 400}, {canHeight, 25, 900}, {gasketOD, 15, 400},
	{totalMass, 30, 12_000}, {basePlateMass, 3, 4_000}, {elementMass, 2, 6_000}, {canMass, 8, 6_000},
	{mediaMass, 0.5, 3_000}, {springMass, 0.1, 500},
	{canGauge, 0.1, 3}, {basePlateGauge, 0.3, 20},
	{inletHoles, 1, 60}, {inletHoleDiameter, 0.5, 40},
	{pleats, 5, 400}, {elementWidth, 8, 850}, {elementOD, 15, 390}, {mediaLength, 60, 20_000}, {mediaThickness, 0.05, 5},
	{mediaArea, 20, 60_000},
	{claimedEfficiency, 0, 100}, {claimedParticle, 0.1, 200},
}

func limits() []limit {
	var out []limit
	for _, b := range bounds {
		out = append(out, limit{
			of:     []measure{b.m},
			excess: func(x *row) float64 { return outside(x[b.m], b.low, b.high) },
			says: func(x *row, show shower) string {
				if x[b.m] < b.low {
					return "no spin-on filter goes below " + show(b.m, b.low)
				}
				return "no spin-on filter goes beyond " + show(b.m, b.high)
			},
		})
	}
	parts := []measure{basePlateMass, elementMass, canMass, springMass}
	return append(out,
		limit{
			of:     append([]measure{totalMass}, parts...),
			excess: func(x *row) float64 { return sum(x, parts) / x[totalMass] },
			room:   roomWeighing,
			says: func(x *row, show shower) string {
				return "the parts (" + show(totalMass, sum(x, parts)) + ") outweigh the whole (" + show(totalMass, x[totalMass]) + ")"
			},
		},
		limit{
			of:     []measure{mediaMass, elementMass},
			excess: func(x *row) float64 { return x[mediaMass] / x[elementMass] },
			room:   roomWeighing,
			says: func(x *row, show shower) string {
				return "the media (" + show(mediaMass, x[mediaMass]) + ") is heavier than its element (" + show(elementMass, x[elementMass]) + ")"
			},
		},
		limit{
			of:     []measure{canMass, canGauge, canOD, canHeight},
			excess: func(x *row) float64 { return outside(x[canMass]/steelMass(x), 1.0/steelFactor, steelFactor) },
			says: func(x *row, show shower) string {
				return "by the density of steel a can of this size with walls of " + show(canGauge, x[canGauge]) + " weighs about " +
					show(canMass, steelMass(x)) + ", not " + show(canMass, x[canMass])
			},
		},
		limit{
			of:     []measure{elementWidth, canHeight},
			excess: func(x *row) float64 { return x[elementWidth] / x[canHeight] },
			room:   roomGeometry,
			says: func(x *row, show shower) string {
				return "an element of " + show(elementWidth, x[elementWidth]) + " would be wider than the can is tall (" + show(canHeight, x[canHeight]) + ")"
			},
		},
		limit{
			of:     []measure{mediaLength, pleats, canOD},
			excess: func(x *row) float64 { return 2 * pleatDepth(x) / x[canOD] },
			room:   roomGeometry,
			says: func(x *row, show shower) string {
				return "pleats " + show(elementWidth, pleatDepth(x)) + " deep do not fit a can of " + show(canOD, x[canOD])
			},
		},
		limit{
			of:     []measure{gasketOD, canOD},
			excess: func(x *row) float64 { return x[gasketOD] / x[canOD] },
			room:   roomGeometry,
			says: func(x *row, show shower) string {
				return "a gasket of " + show(gasketOD, x[gasketOD]) + " is wider than the can (" + show(canOD, x[canOD]) + ")"
			},
		},
		limit{
			of:     []measure{elementOD, canOD},
			excess: func(x *row) float64 { return x[elementOD] / x[canOD] },
			room:   roomGeometry,
			says: func(x *row, show shower) string {
				return "an element " + show(elementOD, x[elementOD]) + " across does not fit the can (" + show(canOD, x[canOD]) + ")"
			},
		},
		limit{
			of:     []measure{mediaThickness, pleats, canOD},
			excess: func(x *row) float64 { return 2 * x[mediaThickness] * x[pleats] / (math.Pi * x[canOD]) },
			room:   roomGeometry,
			says: func(x *row, show shower) string {
				return show(pleats, x[pleats]) + " pleats of media " + show(mediaThickness, x[mediaThickness]) + " thick do not fit round the inside of the can"
			},
		},
		limit{
			of:     []measure{mediaMass, mediaLength, elementWidth, mediaArea},
			excess: func(x *row) float64 { return outside(grammage(x), lightestMedia, heaviestMedia) },
			says: func(x *row, show shower) string {
				return "no filter media has " + digits(grammage(x)) + " g/m²"
			},
		},
		limit{
			of:     []measure{mediaMass, mediaLength, elementWidth, mediaArea, mediaThickness},
			excess: func(x *row) float64 { return outside(mediaDensity(x), thinnestMedia, densestMedia) },
			says: func(x *row, show shower) string {
				return "no filter media has a density of " + digits(mediaDensity(x)) + " g/cm³"
			},
		},
	)
}

// sum of the parts that were weighed.
func sum(x *row, parts []measure) float64 {
	var s float64
	for _, m := range parts {
		if x[m] == x[m] {
			s += x[m]
		}
	}
	return s
}
