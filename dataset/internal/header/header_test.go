package header

import (
	"strings"
	"testing"

	"pleatstat/dataset/catalogue"
)

func TestMatchHeader(t *testing.T) {
	for text, want := range map[string][2]string{
		"media_length_in":                   {"media_length", "in"},
		"Media Length (in)":                 {"media_length", "in"},
		"MEDIA-LENGTH [inches]":             {"media_length", "inches"},
		"Media length in inches":            {"media_length", "inches"},
		"MediaLength":                       {"media_length", ""},
		`Media length "`:                    {"media_length", `"`},
		"can gauge [mm]":                    {"can_gauge", "mm"},
		"Wall thickness":                    {"can_gauge", ""},
		"wall thickness (thou)":             {"can_gauge", "thou"},
		"Can Gage mm":                       {"can_gauge", "mm"},
		"Tapping plate weight (g)":          {"base_plate_mass", "g"},
		"Tapping plate thickness":           {"base_plate_gauge", ""},
		"base-plate mass g":                 {"base_plate_mass", "g"},
		"Baseplate weight":                  {"base_plate_mass", ""},
		"ADBV":                              {"drain_back", ""},
		"Anti-drain-back valve":             {"drain_back", ""},
		"Anti-drainback valve":              {"drain_back", ""},
		"Height of element (in)":            {"element_width", "in"},
		"Element height":                    {"element_width", ""},
		"Weight":                            {"total_mass", ""},
		"Total weight (dry) (g)":            {"total_mass", "g"},
		"Weight of can, g":                  {"can_mass", "g"},
		"Can weight (empty)":                {"can_mass", ""},
		"Weight of media (g)":               {"media_mass", "g"},
		"Paper length":                      {"media_length", ""},
		"Filter media":                      {"media_type", ""},
		"Price ($)":                         {"price", "$"},
		"price_usd":                         {"price", "usd"},
		"Price €":                           {"price", "€"},
		"Cost":                              {"price", ""},
		"No. of pleats":                     {"pleats", ""},
		"# pleats":                          {"pleats", ""},
		"Pleats (count)":                    {"pleats", "count"},
		"Part #":                            {"part", ""},
		"P/N":                               {"part", ""},
		"Brand":                             {"maker", ""},
		"Date opened":                       {"opened", ""},
		"Date (dd/mm/yyyy)":                 {"opened", "dd/mm/yyyy"},
		"Media area (sq in)":                {"media_area", "sq in"},
		"media_area_cm2":                    {"media_area", "cm2"},
		"Claimed efficiency (%)":            {"claimed_efficiency", "%"},
		"claimed_particle_size_um":          {"claimed_particle_size", "um"},
		"Claimed particle size µm":          {"claimed_particle_size", "µm"},
		"Inlet hole dia. (mm)":              {"inlet_hole_diameter", "mm"},
		"Number of inlet holes":             {"inlet_holes", ""},
		"Can O.D. (mm)":                     {"can_od", "mm"},
		"bench":                             {"", ""},
		"can mass (mm)":                     {"", ""}, // a mass is not measured in millimetres
		"":                                  {"", ""},
		strings.Repeat("media length ", 99): {"", ""},
	} {
		m, ok := Match(text)
		got := [2]string{"", m.Unit}
		if ok {
			got[0] = m.Column
		}
		if got != want {
			t.Errorf("%.60q: %q, want %q", text, got, want)
		}
	}
}

// TestNamesAreUnique: no name or synonym means two columns, and each column is
// found by each of its names with each of its units.
func TestNamesAreUnique(t *testing.T) {
	owner := map[string]string{}
	for c := range catalogue.Recorded() {
		for _, name := range append([]string{c.Name}, c.Synonyms...) {
			key := Key(name)
			if other, ok := owner[key]; ok && other != c.Name {
				t.Errorf("%q means %s and %s", name, other, c.Name)
			}
			owner[key] = c.Name
			m, ok := Match(name)
			if !ok || m.Column != c.Name {
				t.Errorf("%q is not found as %s", name, c.Name)
			}
			for _, unit := range c.Kind.AssumedUnits() {
				for _, text := range []string{name + " (" + unit + ")", name + "_" + unit, name + " in " + unit, strings.ToUpper(name) + " [" + unit + "]"} {
					if m, ok := Match(text); !ok || m.Column != c.Name || m.Unit == "" {
						t.Errorf("%q is not found as %s with its unit", text, c.Name)
					}
				}
			}
		}
		if c.Meaning == "" || c.HowTo == "" {
			t.Errorf("%s is not explained", c.Name)
		}
	}
}

// FuzzMatchHeader: matching never panics, and any unit found is one that the
// column can have.
func FuzzMatchHeader(f *testing.F) {
	for c := range catalogue.Recorded() {
		f.Add(c.Name)
	}
	for _, s := range []string{"Media Length (in)", `width "`, "((", ")(", "Weight of of", "of", "in in in", "Price ($", "[mm]", "µ", "\xff\xfe", "#", "media length – stretched (in)"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		m, ok := Match(text)
		if !ok {
			Nearest(text)
			return
		}
		c := catalogue.Facts(m.Column)
		if m.Unit != "" && c.Kind != catalogue.KindDate && !fitsUnit(c, m.Unit) {
			t.Fatalf("%q: %s in %q", text, c.Name, m.Unit)
		}
	})
}

func TestNearest(t *testing.T) {
	for text, want := range map[string]string{
		"Media lenth (in)": "media_length", "pleets": "pleats", "Makker": "maker", "Can gaugue": "can_gauge",
		"total wieght": "total_mass", "bench": "", "shoe size": "", "elment height mm": "element_width",
	} {
		if got := Nearest(text); got != want {
			t.Errorf("%q is near %q, want %q", text, got, want)
		}
	}
}
