package trend

import "math"

const (
	canGauge     = "can_gauge"
	impliedGauge = "implied_gauge"
)

// GaugeAgrees is the relative deviation of a can's gauge from the gauge that its
// mass, size and material imply within which the two agree: rim, dome and coating
// account for a tenth. Common practice, no source.
const GaugeAgrees = 0.10

// impliedBy returns the mean implied gauge of some openings' cans, mm; NaN where
// it is not known for any.
func (in *inputs) impliedBy(rows []int) float64 {
	if in.implied == nil {
		return math.NaN()
	}
	var sum, n float64
	for _, row := range rows {
		if v := in.implied[row]; !math.IsNaN(v) {
			sum, n = sum+v, n+1
		}
	}
	return sum / n // NaN for 0/0
}

// leaveOutUnlike leaves cans of another material than steel out of a line of
// gauge on mass: aluminium of the same gauge weighs a third. A blank material
// counts as steel.
func (in *inputs) leaveOutUnlike() {
	materials := in.log.Strings("can_material")
	if materials == nil || in.def.Predictor != "can_mass" && in.def.Predictor != "total_mass" {
		return
	}
	in.unlike = make([]bool, len(materials))
	for row, m := range materials {
		if m != "" && m != "steel" {
			in.unlike[row], in.y[row] = true, math.NaN()
		}
	}
}

// ofSize computes Flag.OfSize.
func ofSize(observed, expected, implied float64) bool {
	off := math.Abs(math.Log(observed / implied))
	return off <= math.Log1p(GaugeAgrees) && off < math.Abs(math.Log(expected/implied))
}
