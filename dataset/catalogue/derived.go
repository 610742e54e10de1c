package catalogue

import (
	"iter"
	"math"
	"slices"
)

// Derived iterates over the measures that are computed from recorded columns,
// in order of computation. The caller must not change the slices in them.
func Derived() iter.Seq[Column] { return slices.Values(derived) }

// derived holds the derived measures. Formulas work in base units. A missing
// input is NaN, and so is the result unless the formula can do without that
// input. An input that is itself derived comes earlier in the list.
var derived = []Column{
	{Name: "media_area", Kind: KindArea, Unit: "cm²", Derived: true,
		Axis: "media area, one face", Meaning: "usable area of the media, one face, potted edges not counted", HowTo: "media_length × element_width; the logged area only where one of them is blank", NeededBy: []string{needsPrice, needsGrammage},
		Inputs: []string{"media_length", "element_width", "media_area"}, UnitOf: "media_length",
		Formula: func(x []float64) float64 {
			if a := x[0] * x[1] / mm2PerCm2; !math.IsNaN(a) {
				return a
			}
			return x[2]
		}},
	{Name: "pleat_depth", Kind: KindLength, Unit: "mm", Derived: true,
		Meaning: "mean depth of a pleat", HowTo: "media_length / (2 × pleats)", NeededBy: []string{needsCheck, needsCompare},
		Inputs: []string{"media_length", "pleats"}, UnitOf: "media_length",
		Formula: func(x []float64) float64 { return ratio(x[0], 2*x[1]) }},
	{Name: "pleat_pitch", Kind: KindLength, Unit: "mm", Derived: true,
		Meaning: "distance between pleat tips", HowTo: "π × element_od / pleats", NeededBy: []string{needsCompare},
		Inputs: []string{"element_od", "pleats"}, UnitOf: "element_od",
		Formula: func(x []float64) float64 { return ratio(math.Pi*x[0], x[1]) }},
	{Name: "grammage", Kind: KindNumber, Unit: "g/m²", Derived: true,
		Meaning: "mass of the media per area", HowTo: "media_mass / media_area", NeededBy: []string{needsCheck, needsCompare},
		Inputs:  []string{"media_mass", "media_area"},
		Formula: func(x []float64) float64 { return ratio(x[0]*cm2PerM2, x[1]) }},
	{Name: "media_density", Kind: KindNumber, Unit: "g/cm³", Derived: true,
		Meaning: "density of the media", HowTo: "grammage / media_thickness", NeededBy: []string{needsCheck, needsCompare},
		Inputs:  []string{"grammage", "media_thickness"},
		Formula: func(x []float64) float64 { return ratio(x[0]/cm2PerM2, x[1]/mmPerCm) }},
	{Name: "media_volume", Kind: KindNumber, Unit: "cm³", Derived: true,
		Meaning: "volume of the media", HowTo: "media_area × media_thickness", NeededBy: []string{needsCompare},
		Inputs: []string{"media_area", "media_thickness"}, UnitOf: "media_length",
		Formula: func(x []float64) float64 { return x[0] * x[1] / mmPerCm }},
	{Name: "can_surface", Kind: KindArea, Unit: "cm²", Derived: true,
		Meaning: "outside of the can, wall and dome taken as a flat disc", HowTo: "π × can_od × can_height + π/4 × can_od²", NeededBy: []string{needsCheck, needsGauge},
		Inputs: []string{"can_od", "can_height"}, UnitOf: "can_od",
		Formula: func(x []float64) float64 { return (math.Pi*x[0]*x[1] + math.Pi/4*x[0]*x[0]) / mm2PerCm2 }},
	{Name: "can_mass_per_area", Kind: KindNumber, Unit: "g/cm²", Derived: true,
		Meaning: "mass of the can per surface", HowTo: "can_mass / can_surface", NeededBy: []string{needsCheck, needsGauge},
		Inputs:  []string{"can_mass", "can_surface"},
		Formula: func(x []float64) float64 { return ratio(x[0], x[1]) }},
	{Name: "implied_gauge", Kind: KindLength, Unit: "mm", Derived: true,
		Meaning: "wall thickness a can of this mass, size and material would have", HowTo: "can_mass_per_area / 7.85 g/cm³ (steel), 2.70 g/cm³ (aluminium by can_material)", NeededBy: []string{needsCheck, needsDrift},
		Inputs: []string{"can_mass_per_area", CanDensity}, UnitOf: "can_gauge",
		Formula: func(x []float64) float64 {
			if math.IsNaN(x[1]) {
				return x[0] / SteelDensity * mmPerCm
			}
			return ratio(x[0]*mmPerCm, x[1])
		}},
	{Name: "other_mass", Kind: KindMass, Unit: "g", Derived: true,
		Meaning: "total mass less base plate, element, can, spring and retainer", HowTo: "total_mass − base_plate_mass − element_mass − can_mass − spring_mass − retainer_mass (blank spring and retainer count as nothing)", NeededBy: []string{needsCheck},
		Inputs: []string{"total_mass", "base_plate_mass", "element_mass", "can_mass", "spring_mass", "retainer_mass"}, UnitOf: "total_mass",
		Formula: func(x []float64) float64 {
			rest := x[0] - x[1] - x[2] - x[3]
			for _, small := range x[4:] { // often not weighed, or absent
				if !math.IsNaN(small) {
					rest -= small
				}
			}
			return rest
		}},
	{Name: "mass_without_can", Kind: KindMass, Unit: "g", Derived: true,
		Meaning: "total mass less the can", HowTo: "total_mass − can_mass", NeededBy: []string{needsPrice},
		Inputs:  []string{"total_mass", "can_mass"},
		Formula: func(x []float64) float64 { return x[0] - x[1] }},
	{Name: "price_per_area", Kind: KindMoney, Unit: "per 100 cm²", Derived: true, Axis: "price per media area",
		Meaning: "price of the filter for its area of media", HowTo: "100 × price / media_area", NeededBy: []string{needsPrice},
		Inputs: []string{"price", "media_area"}, UnitOf: "media_length",
		Formula: func(x []float64) float64 { return ratio(100*x[0], x[1]) }},
	{Name: "price_per_100g", Kind: KindMoney, Unit: "per 100 g", Derived: true, Spoken: "price per mass",
		Meaning: "price of the filter for its mass", HowTo: "100 × price / total_mass", NeededBy: []string{needsPrice},
		Inputs:  []string{"price", "total_mass"},
		Formula: func(x []float64) float64 { return ratio(100*x[0], x[1]) }},
	{Name: "claimed_particle_size", Kind: KindParticle, Unit: "µm", Derived: true,
		Meaning: "particle size the claim holds for", HowTo: "the column of that name; where it is blank the size that stands in claimed_efficiency", Typical: Range{3, 60}, NeededBy: []string{needsCompare},
		// The particle size in its own column, else the one in the claim
		// itself.
		Inputs: []string{"claimed_particle_size", ClaimSize},
		Formula: func(x []float64) float64 {
			if math.IsNaN(x[0]) {
				return x[1]
			}
			return x[0]
		}},
	{Name: "beta_ratio", Kind: KindNumber, Derived: true, Spoken: "claimed beta ratio",
		Meaning: "particles before the media to particles behind it, from the claim", HowTo: "1 / (1 − claimed_efficiency), as ISO 16889 and ISO 4548-12 define it; only of a claim that names the multi-pass test", NeededBy: []string{needsCompare},
		// ISO 16889 and ISO 4548-12: β is the ratio of the particle counts
		// upstream and downstream of the filter, so that efficiency = 1 − 1/β.
		Inputs: []string{"claimed_efficiency", MultiPass},
		Formula: func(x []float64) float64 {
			if x[0] < 0 || x[0] >= 100 || math.IsNaN(x[1]) {
				return math.NaN() // a claim of 100 % has no finite ratio
			}
			return 100 / (100 - x[0])
		}},
	{Name: "inlet_open_area", Kind: KindNumber, Unit: "mm²", Derived: true,
		Meaning: "open area of all inlet holes", HowTo: "inlet_holes × π/4 × inlet_hole_diameter²", NeededBy: []string{needsCompare},
		Inputs:  []string{"inlet_holes", "inlet_hole_diameter"},
		Formula: func(x []float64) float64 { return x[0] * math.Pi / 4 * x[1] * x[1] }},
	{Name: "made", Kind: KindDate, Derived: true, OfOpening: true, Spoken: "date made",
		Meaning: "when the filter was made", HowTo: "from date_code, where the codes of the whole column can be read in one way only", NeededBy: []string{needsDrift, needsCheck}},
}

// SteelDensity is the density of unalloyed sheet steel, g/cm³, as handbook
// tables give it.
const SteelDensity = 7.85

// AluminiumDensity is the density of aluminium, g/cm³, as handbook tables give
// it; its sheet alloys lie within 2 % of it.
const AluminiumDensity = 2.70

const (
	mm2PerCm2 = 100.0
	cm2PerM2  = 10000.0
	mmPerCm   = 10.0
)

// ratio returns a/b, or NaN if b is not positive.
func ratio(a, b float64) float64 {
	if !(b > 0) {
		return math.NaN()
	}
	return a / b
}

// Inputs of formulas that are not columns themselves: numbers looked up for a
// word, or taken from inside another cell.
const (
	ClaimSize  = "particle size in claimed_efficiency" // µm
	MultiPass  = "claim names the multi-pass test"     // 1, else NaN
	CanDensity = "density of can_material"             // g/cm³; 0 for a material whose density is not known
)
