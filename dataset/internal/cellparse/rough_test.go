package cellparse

import (
	"strings"
	"testing"
)

// How people mark an approximate number, or a price for several filters: common
// practice, no source.
func TestRoughNumbersAndPacks(t *testing.T) {
	for _, c := range []struct {
		text   string
		value  float64
		unit   string
		approx bool
		pack   uint16
	}{
		{"62 (est)", 62, "", true, 0}, {"62 (est.)", 62, "", true, 0}, {"62 est", 62, "", true, 0}, {"62 (approx)", 62, "", true, 0},
		{"62?", 62, "", true, 0}, {"2.3?", 2.3, "", true, 0}, {"2.3 ??", 2.3, "", true, 0}, {"2.3 mm?", 2.3, "mm", true, 0}, {"2.3mm (est)", 2.3, "mm", true, 0}, {"51 (?)", 51, "", true, 0},
		{"~2", 2, "", true, 0}, {"2~", 2, "", true, 0}, {"about 60", 60, "", true, 0}, {"around 60", 60, "", true, 0}, {"Est. 60", 60, "", true, 0}, {"roughly $8", 8, "$", true, 0},
		{"60-ish", 60, "", true, 0}, {"60ish", 60, "", true, 0}, {"60 or so", 60, "", true, 0}, {"41 3/8?", 41.375, "", true, 0},
		{"12.99 (2 pack)", 12.99, "", false, 2}, {"$12.99 (2-pack)", 12.99, "$", false, 2}, {"12.99 [2pk]", 12.99, "", false, 2}, {"12.99 (pack of 3)", 12.99, "", false, 3},
		{"12.99 for 2", 12.99, "", false, 2}, {"12.99 USD (6 pcs)", 12.99, "USD", false, 6}, {"£15 (twin pack)", 15, "£", false, 2}, {"12.99 (Box of 12)", 12.99, "", false, 12},
		{"about 13 (2 pack)", 13, "", true, 2}, {"12.99 (2 pack)?", 12.99, "", true, 2},
	} {
		n, err := ParseNumber(c.text, Point)
		if err != nil || n.Value != c.value || n.Unit != c.unit || n.Approx != c.approx || n.Pack != c.pack {
			t.Errorf("%q: %+v, %v", c.text, n, err)
		}
	}
	for _, text := range []string{"?", "(est)", "est", "2 pack", "12.99 (0 pack)", "12.99 (pack)", "62 (best)", "62 guest"} {
		if n, err := ParseNumber(text, Point); err == nil && n.Unit == "" && n.Pack == 0 {
			t.Errorf("%q: read as %+v", text, n)
		}
	}
}

func TestReadingsSideBySide(t *testing.T) {
	for text, want := range map[string][]float64{
		"19/19.3/19.4":      {19, 19.3, 19.4},
		"19, 19.3, 19.4":    {19, 19.3, 19.4},
		"19 / 19.3 / 19.4":  {19, 19.3, 19.4},
		"19/19.3/19.4 thou": {19, 19.3, 19.4},
		"0.47/0.48":         {0.47, 0.48},
		"0.47, 0.48?":       {0.47, 0.48},
		"51/52":             {51, 52},
		"51/51/52":          {51, 51, 52},
		"1.234/1.235":       nil, // like 1.234; 1.235: the mark may be decimal or thousands
		"41 3/8, 41 1/2":    nil, // has slashes of its own
		"15/16":             {0.9375},
		"3/8":               {0.375},
		"41 3/8":            {41.375},
		"41-3/8":            {41.375},
		"9/10":              {0.9},
		"1,234":             {1234},
		"3/8/2024":          nil,
		"12/3/24":           nil,
		"1, 234":            nil,
		"12.99/2":           nil,
		"5 mm/5.1":          nil,
		"0/0":               nil,
		"-1, -1.1":          nil,
	} {
		read, err := ParseReadings(nil, text, Point)
		if want == nil {
			if err == nil {
				t.Errorf("%q: read as %+v", text, read)
			}
			continue
		}
		if err != nil || len(read) != len(want) {
			t.Errorf("%q: %+v, %v", text, read, err)
			continue
		}
		for i, n := range read {
			if n.Value != want[i] || strings.HasSuffix(text, "thou") != (n.Unit == "thou") {
				t.Errorf("%q: reading %d is %+v", text, i, n)
			}
		}
	}
	read, err := ParseReadings(nil, "0,47, 0,48, 0,48", Comma)
	if err != nil || len(read) != 3 || read[0].Value != 0.47 {
		t.Errorf("decimal commas: %+v, %v", read, err)
	}
}

func TestRoughDates(t *testing.T) {
	for text, want := range map[string]Date{
		"2021?": {Year: 2021}, "about 2020": {Year: 2020}, "~2021-03": {Year: 2021, Month: 3}, "2021-03-08 (est)": {2021, 3, 8}, "ca. 2019": {Year: 2019},
	} {
		if d, _, err := ParseDate(text, OrderUnknown); err != nil || d != want {
			t.Errorf("%q: %+v, %v", text, d, err)
		}
	}
}
