package catalogue

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestInputsReachTheRecordedColumns(t *testing.T) {
	for name, want := range map[string][]string{
		"can_gauge":     {"can_gauge"},
		"media_area":    {"media_length", "element_width", "media_area"},
		"media_density": {"media_mass", "media_length", "element_width", "media_area", "media_thickness"},
		"implied_gauge": {"can_mass", "can_od", "can_height"},
	} {
		if diff := cmp.Diff(want, Inputs(name)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
}
