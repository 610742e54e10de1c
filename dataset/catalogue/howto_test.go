package catalogue

import (
	"slices"
	"strings"
	"testing"
)

// The how-to of a column warns of common errors of measurement. Common
// practice, no source.
func TestHowToMeasure(t *testing.T) {
	for column, says := range map[string][]string{
		"can_gauge":               {"ball anvil", "flattened", "paint stripped", "height"},
		"media_thickness":         {"ratchet"},
		"element_width":           {"between", "glue", "flat"},
		"strip_width":             {"edge to edge", "glue chipped off"},
		"media_mass":              {"potted edges", "element_width"},
		"bypass_opening_measured": {"force", "area of the seat"},
		"bypass_opening_claimed":  {"bar, kPa or psi"},
		"drain_back_fit":          {"lip"},
		"thread_turns":            {"stud"},
		"gasket_section":          {"not pressed"},
		"core_id":                 {"inside jaws"},
		"core_open_area":          {"holes", "louvres"},
		"glue_gaps":               {"end caps", "seam"},
		"light_spots":             {"lamp", "dark room"},
		"can_material":            {"magnet"},
		"retainer_mass":           {"base plate"},
		"condition":               {"used"},
		"purchased":               {"price of that day"},
		"claimed_efficiency":      {"99 % @ 20 µm", "β20=75"},
		"claim_test":              {"multi-pass"},
	} {
		c, ok := LookUp(column)
		if !ok {
			t.Errorf("no column %s", column)
			continue
		}
		for _, s := range says {
			if !strings.Contains(c.HowTo, s) {
				t.Errorf("%s: %q does not say %q", column, c.HowTo, s)
			}
		}
	}
	inputs := Inputs("media_area") // the usable area, without the potted edges
	if !slices.Contains(inputs, "element_width") || slices.Contains(inputs, "strip_width") {
		t.Errorf("the area comes from %v", inputs)
	}
}
