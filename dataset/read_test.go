package dataset

import (
	"math"
	"strings"
	"testing"
)

const smallLog = `Opened,Maker,Part number,Price ($),Can Gauge (mm),media_length_in,Height of element (in),Pleats,Media weight (g),Total weight (g),ADBV,claimed efficiency,bench,notes
2024-03-08,Skerrow,SK-10,8.99,0.47; 0.48; 0.48,38 1/2,1.56,53,7.9,165.2,silicone,99%,3,"clean
cut"
2024-04,Skerrow,SK-10,$9.49,0.47,38.5,1.56,53,,~5.7 oz,Silicone,99%,4,
2024,Thornquay,TQ-7,12.00,0.6 mm,"58-1/2""",1.38,70,9.6,oops,rubber,98.7,5,x
,Veldmarsh,V9,-,?,n/a,,,,,,,,
`

func mustRead(t *testing.T, text string, o Options) *Log {
	t.Helper()
	l, err := Read(strings.NewReader(text), "log.csv", o)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func near(a, b, relative float64) bool {
	return math.IsNaN(a) && math.IsNaN(b) || math.Abs(a-b) <= relative*math.Max(math.Abs(a), math.Abs(b))
}

func TestSmallLog(t *testing.T) {
	l := mustRead(t, smallLog, Options{})
	nan := math.NaN()
	for name, want := range map[string][]float64{
		"price":              {8.99, 9.49, 12, nan},
		"can_gauge":          {(0.47 + 0.48 + 0.48) / 3, 0.47, 0.6, nan},
		"media_length":       {38.5 * 25.4, 38.5 * 25.4, 58.5 * 25.4, nan},
		"total_mass":         {165.2, 5.7 * 28.349523125, nan, nan},
		"bench":              {3, 4, 5, nan},
		"opened":             {2024 + 67.5/366, 2024 + 106.0/366, 2024.5, nan},
		"claimed_efficiency": {99, 99, 98.7, nan},
		"element_width":      {1.56 * 25.4, 1.56 * 25.4, 1.38 * 25.4, nan},
	} {
		got := l.Floats(name)
		if len(got) != len(want) {
			t.Fatalf("%s: %v", name, got)
		}
		for i := range want {
			if !near(got[i], want[i], 1e-12) {
				t.Errorf("%s, row %d: %v, want %v", name, i, got[i], want[i])
			}
		}
	}
	if got := l.Strings("drain_back"); got[0] != "silicone" || got[1] != "silicone" || got[2] != "nitrile" || got[3] != "" {
		t.Errorf("drain_back %q", got)
	}
	if frame, err := l.Frame(); err != nil || frame.Nrow() != 4 || frame.Ncol() != len(l.Names()) {
		t.Errorf("frame %v, %d×%d", frame.Err, frame.Nrow(), frame.Ncol())
	}
	var bad []Problem
	for _, p := range l.Problems() {
		if p.Severity == Unusable {
			bad = append(bad, p)
		}
	}
	if len(bad) != 1 || bad[0].Line != 5 || bad[0].Column != 10 || bad[0].Name != "total_mass" || bad[0].Text != "oops" {
		t.Errorf("unusable cells: %+v", bad)
	}
	c, ok := l.Cell(2, "media_length")
	if !ok || c.Line != 5 || c.Column != 6 || c.Text != `58-1/2"` || c.Unit != `"` || !near(c.Value, 58.5*25.4, 1e-12) {
		t.Errorf("cell %+v, %v", c, ok)
	}
	if c, ok := l.Cell(1, "total_mass"); !ok || !c.Approx || c.Unit != "oz" {
		t.Errorf("cell %+v, %v", c, ok)
	}
	for column, want := range map[string]string{"price": "$8.99", "media_area": "60.1 in²", "can_gauge": "0.48 mm", "pleats": "53"} {
		if got := l.Units().Format(column, l.Floats(column)[0]); got != want {
			t.Errorf("%s is shown as %q, want %q", column, got, want)
		}
	}
}
