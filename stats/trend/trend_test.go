package trend

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
)

// market writes an invented log: price on area in logs with slope 0.9 and
// spread 0.15, every part opened twice, the parts named in premium priced that
// many times higher.
func market(parts int, premium map[int]float64, seed uint64) string {
	rng := rand.New(rand.NewPCG(seed, 1))
	var b strings.Builder
	b.WriteString("opened,maker,part,price,media_length_in,element_width_in,can_gauge_mm,can_mass_g,total_mass_g,pleats\n")
	makers := []string{"Skerrow", "Thornquay", "Lowmere", "Orrinvale"}
	for p := range parts {
		area := 30 + 60*rng.Float64()
		width := 1.2 + rng.Float64()
		factor := 1.0
		if f, ok := premium[p]; ok {
			factor = f
		}
		price := 0.25 * math.Pow(area, 0.9) * math.Exp(0.15*rng.NormFloat64()) * factor
		for range 2 {
			fmt.Fprintf(&b, "2024-05-%02d,%s,P%03d,%.2f,%.3f,%.3f,%.2f,%.1f,%.1f,%d\n", 1+p%28, makers[p%4], p,
				price, area/width, width, 0.4+0.1*rng.Float64(), 80+20*rng.Float64(), 160+40*rng.Float64(), 50+rng.IntN(20))
		}
	}
	return b.String()
}

func read(t *testing.T, text string) *dataset.Log {
	t.Helper()
	log, err := dataset.Read(strings.NewReader(text), "log.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return log
}

func fitPrice(t *testing.T, text string, o Options) *Trend {
	t.Helper()
	got, err := FitTrend(read(t, text), Define("price", "media_area", ""), o)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func TestPlantedPremiumsAreTheOnlyClearFlags(t *testing.T) {
	premium := map[int]float64{3: 2.4, 17: 2.2, 30: 0.4}
	tr := fitPrice(t, market(60, premium, 7), Options{})
	if tr.Scale != Log {
		t.Errorf("price on media area is fitted on scale %s, want log", tr.Scale)
	}
	if tr.N != 60 {
		t.Errorf("n = %d, want the 60 products and not the 120 openings", tr.N)
	}
	if !(tr.Line.SlopeLow < 0.9 && 0.9 < tr.Line.SlopeHigh) {
		t.Errorf("slope %.3f (%.3f to %.3f) misses the planted 0.9", tr.Line.Slope, tr.Line.SlopeLow, tr.Line.SlopeHigh)
	}
	var clear []string
	for i, p := range tr.Points {
		if e := tr.Evidence(i); e.Grade() == Clear || e.Grade() == Probable {
			clear = append(clear, fmt.Sprint(p.Part, " ", e.Side()))
		}
	}
	flags := Flags([]*Trend{tr})
	if len(flags) < len(clear) {
		t.Errorf("%d flags, want at least %d", len(flags), len(clear))
	}
	for _, f := range flags {
		if f.Grade != Hint {
			t.Errorf("%s is %s by the line of prices alone: that is for the verdict to say", f.Part, f.Grade)
		}
		if f.N != 2 || len(f.Lines) != 2 {
			t.Errorf("%s: %d openings on lines %v, want 2", f.Part, f.N, f.Lines)
		}
	}
	slices.Sort(clear)
	if want := "[P003 1 P017 1 P030 -1]"; fmt.Sprint(clear) != want {
		t.Errorf("off the line %v, want %s", clear, want)
	}
}

// The verdicts do not depend on the currency, the unit of length or the order of
// the rows.
func TestVerdictsDoNotDependOnUnitsOrOrder(t *testing.T) {
	text := market(50, map[int]float64{5: 2.3, 20: 1.9}, 11)
	lines := strings.Split(strings.TrimSpace(text), "\n")
	rng := rand.New(rand.NewPCG(5, 5))
	mixed := slices.Clone(lines[1:])
	rng.Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })

	verdicts := func(text string) string {
		var out []string
		for _, f := range Flags([]*Trend{fitPrice(t, text, Options{})}) {
			out = append(out, fmt.Sprintf("%s %s %s %.6f %.6f", f.Part, f.Kind, f.Grade, f.Ratio, f.Q))
		}
		slices.Sort(out)
		return strings.Join(out, "\n")
	}
	want := verdicts(text)
	if want == "" {
		t.Fatal("nothing is flagged: the test shows nothing")
	}
	if got := verdicts(lines[0] + "\n" + strings.Join(mixed, "\n")); got != want {
		t.Errorf("rows in another order:\n%s\nwant\n%s", got, want)
	}
	feet := make([]string, 0, len(lines))
	for i, line := range lines {
		cells := strings.Split(line, ",")
		if i == 0 {
			cells[4] = "media_length_cm"
		} else {
			var inches, price float64
			fmt.Sscan(cells[4], &inches)
			fmt.Sscan(cells[3], &price)
			cells[4], cells[3] = fmt.Sprint(inches*2.54), fmt.Sprint(price*7.5)
		}
		feet = append(feet, strings.Join(cells, ","))
	}
	if got := verdicts(strings.Join(feet, "\n")); got != want {
		t.Errorf("another unit and currency:\n%s\nwant\n%s", got, want)
	}
}

func TestTooFewSaysHowManyWouldDo(t *testing.T) {
	tr := fitPrice(t, market(LeastPoints-1, nil, 3), Options{})
	if !tr.TooFew || tr.Needed != LeastPoints || len(tr.Warnings) == 0 || !strings.Contains(tr.Warnings[0], "too few to say") {
		t.Errorf("TooFew %t, needed %d, warnings %q", tr.TooFew, tr.Needed, tr.Warnings)
	}
	if !math.IsNaN(tr.Line.Slope) || len(Flags([]*Trend{tr})) != 0 {
		t.Error("a trend with too few points has a slope or flags")
	}
}

func TestAPredictorThatDoesNotVaryIsSaidSo(t *testing.T) {
	text := "maker,part,can_gauge_mm,can_mass_g\n"
	for i := range 12 {
		text += fmt.Sprintf("Wexcombe,W %d,0.4%d,90.0\n", i, i%10)
	}
	tr, err := FitTrend(read(t, text), Define("can_gauge", "can_mass", ""), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !tr.TooFew || !strings.Contains(strings.Join(tr.Warnings, " "), "the same for all 12 products") {
		t.Errorf("warnings %q", tr.Warnings)
	}
}

func TestColumnsThatCannotBeFitted(t *testing.T) {
	log := read(t, market(10, nil, 1))
	var unknown *UnknownColumnError
	if _, err := FitTrend(log, Define("price", "colour", ""), Options{}); !errors.As(err, &unknown) || !slices.Contains(unknown.Have, "can_mass") {
		t.Errorf("unknown column: %v", err)
	}
	var words *NotNumericError
	if _, err := FitTrend(log, Define("price", "maker", ""), Options{}); !errors.As(err, &words) {
		t.Errorf("column of words: %v", err)
	}
	tr, err := FitTrend(log, Define("price", "media_mass", ""), Options{})
	if err != nil || !tr.TooFew || tr.LeftOutReasons[0].Reason != "the log has no media mass" || tr.LeftOutReasons[0].Rows != 20 {
		t.Errorf("column the log lacks: %+v, %v", tr, err)
	}
}

// Gauge on the mass of steel cans per surface has slope 1/density, with 7.85
// g/cm³ the handbook value for low-carbon sheet; the line that allows for error
// in the mass agrees.
func TestSteelDensityFromGaugeOnMassPerSurface(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	text := "maker,part,can_od_mm,can_height_mm,can_gauge_mm,can_mass_g\n"
	for i := range 40 {
		od, height, gauge := 65+20*rng.Float64(), 70+40*rng.Float64(), 0.35+0.25*rng.Float64()
		surface := (math.Pi*od*height + math.Pi/4*od*od) / 100
		text += fmt.Sprintf("Veldmarsh,V%d,%.2f,%.2f,%.4f,%.3f\n", i, od, height, gauge+0.002*rng.NormFloat64(), surface*gauge/10*catalogue.SteelDensity)
	}
	tr, err := FitTrend(read(t, text), Define("can_gauge", "can_mass_per_area", Linear), Options{})
	if err != nil {
		t.Fatal(err)
	}
	perGram := 10 / catalogue.SteelDensity // mm of gauge per g/cm²
	if !(tr.Line.SlopeLow < perGram && perGram < tr.Line.SlopeHigh) || math.Abs(tr.Line.Slope/perGram-1) > 0.02 {
		t.Errorf("slope %.4f (%.4f to %.4f), want %.4f: a density of %.2f g/cm³", tr.Line.Slope, tr.Line.SlopeLow, tr.Line.SlopeHigh, perGram, 10/tr.Line.Slope)
	}
}

// A can that was weighed is used in the trend on can mass and not in the one on
// total mass.
func TestTotalMassStandsInOnlyForCansNotWeighed(t *testing.T) {
	text := "maker,part,can_gauge_mm,can_mass_g,total_mass_g\n"
	for i := range 24 {
		mass := ""
		if i%2 == 0 {
			mass = fmt.Sprint(80 + i)
		}
		text += fmt.Sprintf("Pellbrook,PB-%d,%.2f,%s,%d\n", i, 0.4+float64(i%7)/100, mass, 170+3*i)
	}
	trends, err := FitAll(read(t, text), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, tr := range trends {
		switch tr.ID {
		case "can_gauge-can_mass", "can_gauge-total_mass":
			if tr.N != 12 {
				t.Errorf("%s: n = %d, want 12", tr.ID, tr.N)
			}
		}
	}
}

// A predictor read with large error flattens the least squares line; the line
// that allows for it recovers the true slope.
func TestErrorsInBothUndoTheFlattening(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 2))
	text := "maker,part,element_mass_g,can_mass_g\n"
	for i := range 400 {
		mass := 50 + 10*rng.NormFloat64()
		first, second := mass+4*rng.NormFloat64(), mass+4*rng.NormFloat64()
		text += fmt.Sprintf("Orrinvale,OV %d,%.2f,%.2f; %.2f\n", i, 10+2*mass+rng.NormFloat64(), first, second)
	}
	tr, err := FitTrend(read(t, text), Define("element_mass", "can_mass", Linear), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if tr.Line.SlopeHigh > 2 {
		t.Errorf("least squares slope %.3f (up to %.3f) is not flattened: the test shows nothing", tr.Line.Slope, tr.Line.SlopeHigh)
	}
	if tr.BothErrors.SlopeLow > 2 || tr.BothErrors.SlopeHigh < 2 {
		t.Errorf("slope with errors in both %.3f (%.3f to %.3f), want about 2", tr.BothErrors.Slope, tr.BothErrors.SlopeLow, tr.BothErrors.SlopeHigh)
	}
}
