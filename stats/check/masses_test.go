package check

import (
	"fmt"
	"testing"

	"pleatstat/dataset"
)

// A mass beyond the part's history is doubtful where its other masses have not
// moved with it, and not where they have.
func TestMassBeyondHistory(t *testing.T) {
	log := func(total, element float64) *Result {
		text := "opened,maker,part,total_mass_g,element_mass_g,can_mass_g,base_plate_mass_g\n"
		for i := range 5 {
			text += fmt.Sprintf("%d-01-05,Skerrow,SK 1,%.1f,%.1f,92.%d,52.%d\n", 2018+i, 205+0.3*float64(i), 42+0.1*float64(i), i, i)
		}
		return run(t, read(t, text+fmt.Sprintf("2024-01-05,Skerrow,SK 1,%.1f,%.1f,92.2,52.1\n", total, element)))
	}
	for _, c := range []struct {
		name           string
		total, element float64
		column         string
	}{
		{"as ever", 205.4, 42.2, ""},
		{"the whole alone", 238, 42.2, "total_mass"},
		{"the element alone", 205.4, 53.3, "element_mass"},
		{"both, a heavier element", 216.5, 53.3, ""},
		{"the whole, within the bench", 215, 42.2, ""},
	} {
		r := log(c.total, c.element)
		doubtful := ""
		for _, d := range r.Doubted {
			doubtful = d.Column
			if d.Row != 5 {
				t.Errorf("%s: %+v", c.name, d)
			}
		}
		if doubtful != c.column {
			t.Errorf("%s: doubted %q, want %q: %+v", c.name, doubtful, c.column, r.Problems)
		}
		if c.column != "" && (len(r.Problems) != 1 || r.Problems[0].Severity != dataset.Doubtful || len(r.SetAside) != 0) {
			t.Errorf("%s: %+v", c.name, r.Problems)
		}
	}
}
