package drift_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// logBuilder writes a small invented log.
type logBuilder struct {
	strings.Builder
}

func newLog(columns string) *logBuilder {
	b := &logBuilder{}
	fmt.Fprintln(b, "opened,maker,part,"+columns)
	return b
}

func (b *logBuilder) add(day int, maker, part string, values ...string) {
	date := time.Date(2019, time.January, 5, 0, 0, 0, 0, time.UTC).AddDate(0, 0, day)
	fmt.Fprintf(b, "%s,%s,%s,%s\n", date.Format(time.DateOnly), maker, part, strings.Join(values, ","))
}

func (b *logBuilder) read(t testing.TB) *dataset.Log {
	t.Helper()
	log, err := dataset.Read(strings.NewReader(b.String()), "harbour.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return log
}

func analyse(t testing.TB, log *dataset.Log, o drift.Options) []drift.Entry {
	t.Helper()
	entries, err := drift.Analyse(log, o)
	if err != nil {
		t.Fatal(err)
	}
	return entries
}

// entry returns the entry of a maker, part and measure.
func entry(t testing.TB, entries []drift.Entry, maker, part, measure string) drift.Entry {
	t.Helper()
	for _, e := range entries {
		if e.Maker == maker && e.Part == part && e.Measure == measure {
			return e
		}
	}
	t.Fatalf("no entry of %s %s %s", maker, part, measure)
	return drift.Entry{}
}

func named(e drift.Entry) bool { return e.Verdict == drift.Falling || e.Verdict == drift.Rising }

var harbour = []string{"Skerrow", "Thornquay", "Veldmarsh", "Pellbrook", "Orrinvale", "Lowmere"}

// gauges is a log of six makers whose gauge is given by a function of maker, part
// and time in years, read to 0.01 mm with a repeatability of 0.005 mm.
func gauges(seed uint64, each int, gauge func(maker, part int, t float64) float64) *logBuilder {
	rng := rand.New(rand.NewPCG(seed, 1))
	b := newLog("can_gauge_mm")
	for m, name := range harbour {
		for i := range each {
			part := i % 5
			day := rng.IntN(6 * 365)
			v := gauge(m, part, float64(day)/365) + 0.005*rng.NormFloat64()
			b.add(day, name, fmt.Sprint(name[:1], part), fmt.Sprintf("%.2f", v))
		}
	}
	return b
}

func level(part int) float64 { return 0.50 - 0.03*float64(part) }

// A maker whose openings move to thinner-walled sizes is not called thinning,
// although the straight line through its openings falls steeply.
func TestMovingToThinnerSizesIsNoDrift(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	b := newLog("can_gauge_mm")
	for _, name := range harbour {
		for i := range 36 {
			day := 60*i + rng.IntN(40)
			part := min(4, int(5*(0.7*float64(i)/36+0.3*rng.Float64())))
			b.add(day, name, fmt.Sprint(name[:1], part), fmt.Sprintf("%.2f", level(part)+0.005*rng.NormFloat64()))
		}
	}
	for _, e := range analyse(t, b.read(t), drift.Options{}) {
		if e.Part != "" {
			continue
		}
		if named(e) {
			t.Errorf("%s is called %s: %+v", e.Maker, e.Verdict, e.PerYear)
		}
		first, last := e.Points[0].Value, e.Points[len(e.Points)-1].Value
		if first-last < 0.06 {
			t.Errorf("%s: the mix was to move, from %v to %v", e.Maker, first, last)
		}
	}
}

func TestThinningIsFoundAndDated(t *testing.T) {
	log := gauges(4, 40, func(m, p int, at float64) float64 {
		switch harbour[m] {
		case "Lowmere":
			return level(p) - 0.012*math.Max(0, at-2)
		case "Pellbrook":
			if at > 3.5 {
				return level(p) - 0.04
			}
		}
		return level(p)
	}).read(t)
	entries := analyse(t, log, drift.Options{})
	for _, e := range entries {
		if should := e.Maker == "Lowmere" || e.Maker == "Pellbrook"; e.Part == "" && named(e) != should {
			t.Errorf("%s: %s (q %.3g)", e.Maker, e.Verdict, e.Q)
		}
	}
	slow := entry(t, entries, "Lowmere", "", "can_gauge")
	if !slow.ChangeGradual || math.Abs(slow.ChangeFrom.Sub(time.Date(2021, 1, 5, 0, 0, 0, 0, time.UTC)).Hours()) > 24*365 {
		t.Errorf("Lowmere: from %v, gradual %v; want about January 2021", slow.ChangeFrom, slow.ChangeGradual)
	}
	if !(slow.ChangePerYearLow <= slow.ChangePerYear && slow.ChangePerYear <= slow.ChangePerYearHigh &&
		slow.ChangePerYearLow <= -0.012 && -0.012 <= slow.ChangePerYearHigh) {
		t.Errorf("Lowmere: range from then on %v to %v, want around -0.012", slow.ChangePerYearLow, slow.ChangePerYearHigh)
	}
	if math.Abs(slow.ChangePerYear+0.012) > 0.005 || !math.IsNaN(slow.Step) {
		t.Errorf("Lowmere: %v a year from then on, step %v; want -0.012 and none", slow.ChangePerYear, slow.Step)
	}
	step := entry(t, entries, "Pellbrook", "", "can_gauge")
	july := time.Date(2022, 7, 6, 0, 0, 0, 0, time.UTC)
	if step.ChangeGradual || step.ChangeEarly.After(july) || step.ChangeLate.Before(july) || math.Abs(step.Step+0.04) > 0.006 {
		t.Errorf("Pellbrook: step %v from %v (%v to %v); want -0.04 from July 2022", step.Step, step.ChangeFrom, step.ChangeEarly, step.ChangeLate)
	}
	if !(step.StepLow <= -0.04+1e-9 && step.StepHigh >= -0.04-1e-9) {
		t.Errorf("Pellbrook: step between %v and %v", step.StepLow, step.StepHigh)
	}
	if step.AlarmFrom.Before(july) {
		t.Errorf("Pellbrook: alarm %v before the change", step.AlarmFrom)
	}
	if step.WitnessP > 0.001 || step.WitnessSlope >= 0 {
		t.Errorf("witness: p %v, slope %v", step.WitnessP, step.WitnessSlope)
	}
}

// Values near a rounding boundary that tip over to the next step are not a
// change.
func TestOneReadingStepIsNotAnnounced(t *testing.T) {
	b := newLog("can_gauge_mm")
	for _, name := range harbour {
		for i := range 40 {
			v := 0.40
			if name == "Lowmere" && i >= 20 {
				v = 0.39
			}
			b.add(50*i, name, fmt.Sprint(name[:1], i%4), fmt.Sprintf("%.2f", v))
		}
	}
	e := entry(t, analyse(t, b.read(t), drift.Options{}), "Lowmere", "", "can_gauge")
	if named(e) || len(e.Warnings) == 0 {
		t.Errorf("%s, warnings %q: want steady with a reason", e.Verdict, e.Warnings)
	}
	// Constant readings must not give an interval of width zero: rounding hides as
	// much.
	if s := entry(t, analyse(t, b.read(t), drift.Options{}), "Skerrow", "", "can_gauge"); !(s.High-s.Low > 0.0003) {
		t.Errorf("constant readings: range %v to %v", s.Low, s.High)
	}
}

// Openings of one part on one day are one piece of evidence: doubling every line
// does not make the interval narrower.
func TestSameDayCountsOnce(t *testing.T) {
	once := gauges(5, 30, func(_, p int, _ float64) float64 { return level(p) })
	lines := strings.SplitAfter(strings.TrimSuffix(once.String(), "\n"), "\n")
	twice := &logBuilder{}
	twice.WriteString(lines[0])
	for _, l := range lines[1:] {
		l = strings.TrimSuffix(l, "\n") + "\n"
		twice.WriteString(l + l)
	}
	a, b := analyse(t, once.read(t), drift.Options{}), analyse(t, twice.read(t), drift.Options{})
	if len(a) != len(b) {
		t.Fatalf("%d and %d entries", len(a), len(b))
	}
	for i := range a {
		if math.Abs(a[i].P-b[i].P) > 1e-9 || math.Abs(a[i].High-b[i].High) > 1e-12 || b[i].N != 2*a[i].N {
			t.Errorf("%s %s: p %v and %v, n %d and %d", a[i].Maker, a[i].Part, a[i].P, b[i].P, a[i].N, b[i].N)
		}
	}
}

// Prices are compared with those of the other makers: all rise with a wandering
// market, one by 9 % a year more.
func TestPriceAgainstTheMarket(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 1))
	market := func(at float64) float64 { return 0.03*at + 0.15/(1+math.Exp(-3*(at-3))) }
	b := newLog("price")
	for _, name := range harbour {
		for i := range 36 {
			at := 6 * float64(i) / 36
			v := 2 + 0.1*float64(i%6) + market(at) + 0.05*rng.NormFloat64()
			if name == "Orrinvale" {
				v += 0.09 * at
			}
			b.add(int(365*at), name, fmt.Sprint(name[:1], i%6), fmt.Sprintf("%.2f", math.Exp(v)))
		}
	}
	for _, e := range analyse(t, b.read(t), drift.Options{}) {
		if e.Part != "" {
			continue
		}
		want := drift.Steady
		if e.Maker == "Orrinvale" {
			want = drift.Rising
			if !(e.Low <= 0.09 && 0.09 <= e.High) {
				t.Errorf("Orrinvale: %v (%v to %v) a year, want 0.09", e.PerYear, e.Low, e.High)
			}
		}
		if e.Verdict != want || !e.Relative {
			t.Errorf("%s: %s at %.3f a year (q %.3g)", e.Maker, e.Verdict, e.PerYear, e.Q)
		}
	}
}

// With Since, a change that was over before the date no longer counts; one after
// it does.
func TestSince(t *testing.T) {
	log := gauges(7, 60, func(m, p int, at float64) float64 {
		switch harbour[m] {
		case "Lowmere": // over by the end of 2020
			return level(p) - 0.03*math.Min(at, 2)
		case "Pellbrook": // from 2023 on
			return level(p) - 0.02*math.Max(0, at-4)
		}
		return level(p)
	}).read(t)
	all := analyse(t, log, drift.Options{})
	if !named(entry(t, all, "Lowmere", "", "can_gauge")) || !named(entry(t, all, "Pellbrook", "", "can_gauge")) {
		t.Fatal("over the whole log both are to be found")
	}
	since := time.Date(2022, time.June, 1, 0, 0, 0, 0, time.UTC)
	late := analyse(t, log, drift.Options{Since: since})
	if e := entry(t, late, "Lowmere", "", "can_gauge"); named(e) {
		t.Errorf("Lowmere: %s since %v (%v a year)", e.Verdict, since, e.PerYear)
	}
	if e := entry(t, late, "Pellbrook", "", "can_gauge"); e.Verdict != drift.Falling || !e.ChangeFrom.IsZero() && e.ChangeFrom.Before(since) {
		t.Errorf("Pellbrook: %s since %v, change from %v", e.Verdict, since, e.ChangeFrom)
	}
}
