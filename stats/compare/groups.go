package compare

import "slices"

// groupColumns lists what belongs to each group; all else is of the last.
var groupColumns = map[Group][]string{
	OfPrice: {"price", "price_per_area", "price_per_100g"},
	OfMedia: {"media_area", "media_length", "media_mass", "media_thickness", "media_type", "media_volume", "media_density", "grammage",
		"pleats", "pleat_depth", "pleat_pitch", "element_width", "element_od", "element_mass", "seam", "end_caps", "core",
		"claimed_efficiency", "claimed_particle_size", "beta_ratio"},
	OfCan:   {"can_gauge", "implied_gauge", "can_mass", "can_mass_per_area", "can_od", "can_height", "can_surface"},
	OfPlate: {"base_plate_gauge", "base_plate_mass", "inlet_holes", "inlet_hole_diameter", "inlet_open_area", "thread", "gasket_od"},
}

// GroupOf is the group that a column belongs to.
func GroupOf(column string) Group {
	for _, g := range Groups() {
		if slices.Contains(groupColumns[g], column) {
			return g
		}
	}
	return OfValves
}
