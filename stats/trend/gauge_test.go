package trend_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pleatstat/dataset"
	"pleatstat/stats/trend"
)

// cans is a log of steel cans, taller ones with thicker walls, and of the given
// odd ones: diameter, height, gauge and a factor on the mass of their sheet.
func cans(t *testing.T, odd ...[4]float64) *dataset.Log {
	t.Helper()
	rng := rand.New(rand.NewPCG(31, 1))
	var b strings.Builder
	b.WriteString("maker,part,can_od_mm,can_height_mm,can_gauge_mm,can_mass_g,can_material\n")
	add := func(part string, od, height, gauge, factor float64, material string, density float64) {
		surface := (math.Pi*od*height + math.Pi/4*od*od) / 100
		fmt.Fprintf(&b, "Skerrow,%s,%.1f,%.1f,%.2f,%.1f,%s\n", part, od, height, gauge, factor*surface*gauge/10*density, material)
	}
	for i := range 40 {
		height := 60 + float64(i)
		add(fmt.Sprint("S", i), 76, height, 0.30+0.0025*height+0.006*rng.NormFloat64(), 1+0.01*rng.NormFloat64(), "", 7.85)
	}
	for i, o := range odd {
		add(fmt.Sprint("X", i), o[0], o[1], o[2], o[3], "steel", 7.85)
	}
	for i := range 3 {
		add(fmt.Sprint("A", i), 76, 80, 0.5, 1, "aluminium", 2.70)
	}
	log, err := dataset.Read(strings.NewReader(b.String()), "cans.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return log
}

// Every flag on can gauge gives the gauge that mass and size imply. A can whose
// gauge agrees with its mass and size is unusual only in size; one that is
// heavier than its wall is not. Aluminium (2.70 g/cm³ against 7.85, handbook
// values) is not compared with a line of steel.
func TestGaugeFlagsShowTheImpliedGauge(t *testing.T) {
	log := cans(t, [4]float64{120, 40, 0.50, 1}, [4]float64{76, 75, 0.34, 1.45})
	all, err := trend.FitAll(log, trend.Options{})
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(all, func(tr *trend.Trend) bool { return tr.ID == "can_gauge-can_mass" })
	if !slices.Contains(all[at].LeftOutReasons, trend.LeftOut{Reason: "with a can of another material than steel", Rows: 3}) {
		t.Errorf("left out: %+v", all[at].LeftOutReasons)
	}
	seen := map[string]trend.Flag{}
	for _, f := range trend.Flags(all) {
		if f.Trend == "can_gauge-can_mass" {
			seen[f.Part] = f
		} else if !math.IsNaN(f.ImpliedGauge) {
			t.Errorf("%s on %s has an implied gauge", f.Part, f.Trend)
		}
	}
	size, make := seen["X0"], seen["X1"]
	if math.Abs(size.ImpliedGauge-0.50) > 0.01 || !size.OfSize {
		t.Errorf("a wide flat can: %+v", size)
	}
	if math.Abs(make.ImpliedGauge-0.34*1.45) > 0.01 || make.OfSize {
		t.Errorf("a can heavier than its wall: %+v", make)
	}
	for part := range seen {
		if strings.HasPrefix(part, "A") {
			t.Errorf("the aluminium can %s is held against steel", part)
		}
	}
}
