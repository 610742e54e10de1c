package dataset

import "slices"

// DerivedColumns returns the measures that are computed from recorded columns,
// in the order they are computed. The slice is the caller's own.
func DerivedColumns() []Column {
	out := slices.Clone(derived)
	for i := range out {
		out[i].NeededBy = slices.Clone(out[i].NeededBy)
	}
	return out
}

var derived = []Column{
	{Name: "media_area", Kind: KindArea, Unit: "cm²", Derived: true,
		Axis: "media area, one face", Meaning: "usable area of the media, one face, potted edges not counted", HowTo: "media_length × element_width; the logged area only where one of them is blank", NeededBy: []string{needsPrice, needsGrammage}},
	{Name: "pleat_depth", Kind: KindLength, Unit: "mm", Derived: true,
		Meaning: "mean depth of a pleat", HowTo: "media_length / (2 × pleats)", NeededBy: []string{needsCheck, needsCompare}},
	{Name: "pleat_pitch", Kind: KindLength, Unit: "mm", Derived: true,
		Meaning: "distance between pleat tips", HowTo: "π × element_od / pleats", NeededBy: []string{needsCompare}},
	{Name: "grammage", Kind: KindNumber, Unit: "g/m²", Derived: true,
		Meaning: "mass of the media per area", HowTo: "media_mass / media_area", NeededBy: []string{needsCheck, needsCompare}},
	{Name: "media_density", Kind: KindNumber, Unit: "g/cm³", Derived: true,
		Meaning: "density of the media", HowTo: "grammage / media_thickness", NeededBy: []string{needsCheck, needsCompare}},
	{Name: "media_volume", Kind: KindNumber, Unit: "cm³", Derived: true,
		Meaning: "volume of the media", HowTo: "media_area × media_thickness", NeededBy: []string{needsCompare}},
	{Name: "can_surface", Kind: KindArea, Unit: "cm²", Derived: true,
		Meaning: "outside of the can, wall and dome taken as a flat disc", HowTo: "π × can_od × can_height + π/4 × can_od²", NeededBy: []string{needsCheck, needsGauge}},
	{Name: "can_mass_per_area", Kind: KindNumber, Unit: "g/cm²", Derived: true,
		Meaning: "mass of the can per surface", HowTo: "can_mass / can_surface", NeededBy: []string{needsCheck, needsGauge}},
	{Name: "implied_gauge", Kind: KindLength, Unit: "mm", Derived: true,
		Meaning: "wall thickness a can of this mass, size and material would have", HowTo: "can_mass_per_area / 7.85 g/cm³ (steel), 2.70 g/cm³ (aluminium by can_material)", NeededBy: []string{needsCheck, needsDrift}},
	{Name: "other_mass", Kind: KindMass, Unit: "g", Derived: true,
		Meaning: "total mass less base plate, element, can, spring and retainer", HowTo: "total_mass − base_plate_mass − element_mass − can_mass − spring_mass − retainer_mass (blank spring and retainer count as nothing)", NeededBy: []string{needsCheck}},
	{Name: "mass_without_can", Kind: KindMass, Unit: "g", Derived: true,
		Meaning: "total mass less the can", HowTo: "total_mass − can_mass", NeededBy: []string{needsPrice}},
	{Name: "price_per_area", Kind: KindMoney, Unit: "per 100 cm²", Derived: true, Axis: "price per media area",
		Meaning: "price of the filter for its area of media", HowTo: "100 × price / media_area", NeededBy: []string{needsPrice}},
	{Name: "price_per_100g", Kind: KindMoney, Unit: "per 100 g", Derived: true, Spoken: "price per mass",
		Meaning: "price of the filter for its mass", HowTo: "100 × price / total_mass", NeededBy: []string{needsPrice}},
	{Name: "claimed_particle_size", Kind: KindParticle, Unit: "µm", Derived: true,
		Meaning: "particle size the claim holds for", HowTo: "the column of that name; where it is blank the size that stands in claimed_efficiency", Typical: Range{3, 60}, NeededBy: []string{needsCompare}},
	{Name: "beta_ratio", Kind: KindNumber, Derived: true, Spoken: "claimed beta ratio",
		Meaning: "particles before the media to particles behind it, from the claim", HowTo: "1 / (1 − claimed_efficiency), as ISO 16889 and ISO 4548-12 define it; only of a claim that names the multi-pass test", NeededBy: []string{needsCompare}},
	{Name: "inlet_open_area", Kind: KindNumber, Unit: "mm²", Derived: true,
		Meaning: "open area of all inlet holes", HowTo: "inlet_holes × π/4 × inlet_hole_diameter²", NeededBy: []string{needsCompare}},
	{Name: "made", Kind: KindDate, Derived: true, OfOpening: true, Spoken: "date made",
		Meaning: "when the filter was made", HowTo: "from date_code, where the codes of the whole column can be read in one way only", NeededBy: []string{needsDrift, needsCheck}},
}
