package compare

import (
	"slices"
	"testing"

	"pleatstat/dataset/catalogue"
)

// Every column belongs to one of the groups, by its catalogue entry.
func TestGroups(t *testing.T) {
	for _, c := range slices.AppendSeq(slices.Collect(catalogue.Recorded()), catalogue.Derived()) {
		if !slices.Contains(Groups(), GroupOf(c.Name)) {
			t.Errorf("%s is of the group %q", c.Name, GroupOf(c.Name))
		}
	}
	for name, group := range map[string]Group{
		"price_per_area": OfPrice, "media_area": OfMedia, "grammage": OfMedia, "glue_gaps": OfMedia, "beta_ratio": OfMedia, "core_id": OfMedia,
		"implied_gauge": OfCan, "inlet_open_area": OfPlate, "thread": OfPlate, "total_mass": OfValves, "bypass": OfValves, "my_own": OfValves,
	} {
		if got := GroupOf(name); got != group {
			t.Errorf("%s is of the group %q, want %q", name, got, group)
		}
	}
}
