package check

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// Repeated readings that lie apart, on both sides of each threshold. The column's
// usual spread is 0.01 mm: cells of two readings 0.0141 mm apart.
func TestSpreadThresholds(t *testing.T) {
	usual := func(cells int) string {
		text := "maker,part,can_od_mm\n"
		for i := range cells {
			text += fmt.Sprintf("Skerrow,SK %d,70.0000; 70.0141421\n", i)
		}
		return text
	}
	apart := func(cells int, mean, sd float64) bool {
		d := sd / math.Sqrt2
		r := run(t, read(t, usual(cells)+fmt.Sprintf("Lowmere,L 1,%.6f; %.6f\n", mean-d, mean+d)))
		return len(only(r, "can_od")) == 1
	}
	for _, c := range []struct {
		name     string
		cells    int
		mean, sd float64
		told     bool
	}{
		{"within a share of the mean", 8, 70, 70 * 0.03 * 0.98, false},
		{"beyond it", 8, 70, 70 * 0.03 * 1.02, true},
		{"too few cells to tell the usual", 8 - 2, 70, 70 * 0.03 * 1.02, false},
		{"wild whatever the column shows", 1, 70, 70 * 0.15 * 1.02, true},
		{"not yet wild", 1, 70, 70 * 0.15 * 0.98, false},
	} {
		if apart(c.cells, c.mean, c.sd) != c.told {
			t.Errorf("%s: told %v", c.name, !c.told)
		}
	}
	wide := "maker,part,can_od_mm\n" // usual spread 1 mm
	for i := range 2 * 8 {
		wide += fmt.Sprintf("Skerrow,SK %d,69.2928932; 70.7071068\n", i)
	}
	for sd, told := range map[float64]bool{6.0 * 0.98: false, 6.0 * 1.02: true} {
		r := run(t, read(t, wide+fmt.Sprintf("Lowmere,L 1,%.6f; %.6f\n", 70-sd/math.Sqrt2, 70+sd/math.Sqrt2)))
		if (len(only(r, "can_od")) == 1) != told {
			t.Errorf("%.2f mm where 1 mm is usual: %+v", sd, r.Problems)
		}
	}
	for ratio, aside := range map[float64]int{2.0 * 0.99: 0, 2.0 * 1.01: 1} {
		r := one(t, fmt.Sprintf("can_od_mm=60; %.1f", 60*ratio))
		if len(r.SetAside) != aside {
			t.Errorf("readings that differ %.2f times: set aside %v", ratio, r.SetAside)
		}
	}
}

// Two rows count as one entered twice from this many equal measured readings on.
func TestAgreeingReadingsRule(t *testing.T) {
	names := []string{"total_mass_g", "can_mass_g", "can_od_mm", "can_gauge_mm"}
	values := []string{"184.2", "84.1", "76.2", "0.45"}
	for n, told := range map[int]int{3 - 1: 0, 3: 1} {
		row := "2022-01-08,Skerrow,SK 1," + strings.Join(values[:n], ",") + "\n"
		if r := run(t, read(t, "opened,maker,part,"+strings.Join(names[:n], ",")+"\n"+row+row)); len(r.Problems) != told {
			t.Errorf("%d readings alike: %+v", n, r.Problems)
		}
	}
}

// Masses on both sides of what counts as the whole following its component, and
// of what can be seen in the whole.
func TestMassThresholds(t *testing.T) {
	doubted := func(total, element float64) bool {
		text := "opened,maker,part,total_mass_g,element_mass_g\n"
		for i := range 5 {
			text += fmt.Sprintf("%d-01-05,Skerrow,SK 1,400.%d,40.%d\n", 2018+i, i, i)
		}
		log := read(t, text+fmt.Sprintf("2024-01-05,Skerrow,SK 1,%.2f,%.2f\n", total, element))
		tab := newTable(log)
		return newModel(tab).massAlone(5, elementMass, element)
	}
	const before, whole = 40.2, 400.2 // medians of the five
	by := 1.2 * 0.03 * whole
	for _, c := range []struct {
		name            string
		element, follow float64
		doubt           bool
	}{
		{"follows", by, 1, false}, {"follows by more than half", by, 0.5 * 1.1, false}, {"by less than half", by, 0.5 * 0.9, true},
		{"by less than as much again", by, 1 + 0.5*0.9, false}, {"by more", by, 1 + 0.5*1.1, true},
		{"too little to be seen", 0.03 * whole * 0.9, 0, false}, {"just enough", 0.03 * whole * 1.1, 0, true},
	} {
		if doubted(whole+c.follow*c.element, before+c.element) != c.doubt {
			t.Errorf("%s: doubted %v", c.name, !c.doubt)
		}
	}
}

// A whole column that is off: by how many usual spreads (0.25 on the log scale,
// about 76 mm), and how near another unit must bring it. Inches under a header in
// centimetres are 2.54 times too small.
func TestWholeColumnThresholds(t *testing.T) {
	inch := math.Log(2.54) / 0.25 // spreads
	for _, c := range []struct {
		off  float64 // spreads below the middle
		rows int
		told bool
	}{
		{5.0 * 0.99, 8, false}, {5.0 * 1.01, 8, true}, {inch + 2.0*0.99, 8, true}, {inch + 2.0*1.01, 8, false}, {5.0 * 1.01, 7, false},
	} {
		text := "maker,part,can_od_cm\n"
		for i := range c.rows {
			text += fmt.Sprintf("Skerrow,SK %d,%.4f\n", i, 7.6*math.Exp(-0.25*c.off))
		}
		told := false
		for _, p := range run(t, read(t, text)).Problems {
			told = told || strings.Contains(p.Message, "the whole column")
		}
		if told != c.told {
			t.Errorf("%.2f spreads off: told %v", c.off, told)
		}
	}
}
