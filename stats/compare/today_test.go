package compare

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
)

// reopened is a log of parts with several openings of known scatter.
func reopened(gauge func(maker string, year int) float64) string {
	rng := rand.New(rand.NewPCG(3, 3))
	var b strings.Builder
	b.WriteString("opened,maker,part,can_gauge_mm\n")
	for _, maker := range []string{"Skerrow", "Lowmere", "Pellbrook"} {
		for part := range 3 {
			for year := 2018; year < 2026; year++ {
				fmt.Fprintf(&b, "%d-06-0%d,%s,%c %d,%.3f\n", year, 1+part, maker, maker[0], part, gauge(maker, year)+0.03*float64(part)+0.004*rng.NormFloat64())
			}
		}
	}
	return b.String()
}

var skerrow0, lowmere0 = price.Product{Maker: "Skerrow", Part: "S 0"}, price.Product{Maker: "Lowmere", Part: "L 0"}

// After a change only the openings since count, and the part's own readings
// before and after are reported.
func TestOnlyTodayCounts(t *testing.T) {
	log := read(t, reopened(func(maker string, year int) float64 {
		if maker == "Lowmere" && year >= 2022 {
			return 0.40
		}
		return 0.50
	}))
	step := drift.Entry{Maker: "Lowmere", Measure: "can_gauge", Verdict: drift.Falling}
	step.Statement.Shape, step.Statement.From = drift.AsStep, time.Date(2022, time.January, 1, 0, 0, 0, 0, time.UTC)
	c, err := Parts(log, []price.Product{skerrow0, lowmere0}, nil, Options{Changes: []drift.Entry{step}})
	if err != nil {
		t.Fatal(err)
	}
	m := measure(t, c, "can_gauge")
	if m.Values[0].N != 8 || m.Values[1].N != 4 || math.Abs(m.Values[1].Mean-0.40) > 0.01 || !m.Differences[0].Beyond || m.Basis != ByOpenings {
		t.Errorf("can gauge today: %+v", m)
	}
	if len(c.Changes) != 1 || c.Changes[0].Place != 1 || c.Changes[0].NThen != 4 || math.Abs(c.Changes[0].Then-0.50) > 0.01 || math.Abs(c.Changes[0].Now-0.40) > 0.01 {
		t.Errorf("changes: %+v", c.Changes)
	}
	then, err := ThenAndNow(log, lowmere0, 2021, Options{Changes: []drift.Entry{step}})
	if err != nil {
		t.Fatal(err)
	}
	if d := measure(t, then, "can_gauge").Differences[0]; then.Kind != OfTimes || then.Products[0].When != "2021" || !d.Beyond || math.Abs(d.By+0.1) > 0.02 {
		t.Errorf("then and now: %+v, %+v", then.Products, d)
	}
	var year *NoSuchYearError
	if _, err := ThenAndNow(log, lowmere0, 2017, Options{Changes: []drift.Entry{step}}); !errors.As(err, &year) || len(year.Have) != 8 {
		t.Errorf("a year before the first: %v", err)
	}
}

// A doubted reading does not count and is listed; one opening that may be a slip
// does not make a difference by itself.
func TestSlipsMakeNoDifference(t *testing.T) {
	text := reopened(func(string, int) float64 { return 0.50 })
	lines := strings.Split(text, "\n")
	at := slices.IndexFunc(lines, func(line string) bool { return strings.HasPrefix(line, "2020-06-01,Lowmere,L 0") })
	lines[at] = "2020-06-01,Lowmere,L 0,0.850"
	log := read(t, strings.Join(lines, "\n"))
	both := []price.Product{skerrow0, lowmere0}
	c, err := Parts(log, both, nil, Options{Changes: []drift.Entry{}})
	if err != nil {
		t.Fatal(err)
	}
	if d := measure(t, c, "can_gauge").Differences[0]; d.Beyond || !d.BeyondBench {
		t.Errorf("one opening of eight makes a difference: %+v", d)
	}
	if c, err = Parts(log, both, nil, Options{Changes: []drift.Entry{}, Doubted: []dataset.CellRef{{Row: at - 1, Column: "can_gauge"}}}); err != nil {
		t.Fatal(err)
	}
	if m := measure(t, c, "can_gauge"); m.Values[1].N != 7 || math.Abs(m.Values[1].Mean-0.50) > 0.01 {
		t.Errorf("the doubted reading counts: %+v", m.Values)
	}
	if want := (Doubt{Place: 1, Column: "can_gauge", Line: at + 1, Value: 0.85}); len(c.Doubted) != 1 || c.Doubted[0] != want {
		t.Errorf("doubted: %+v, want %+v", c.Doubted, want)
	}
}

// Makers are compared using the scatter between parts of one maker; where that is
// not known no difference is reported.
func TestMakers(t *testing.T) {
	maker := func(offset float64, parts int) *dataset.Log {
		rng := rand.New(rand.NewPCG(8, 8))
		var b strings.Builder
		b.WriteString("maker,part,can_gauge_mm\n")
		for k := range parts {
			fmt.Fprintf(&b, "Skerrow,S %d,%.3f\nLowmere,L %d,%.3f\n", k, 0.50+0.02*rng.NormFloat64(), k, 0.50+offset+0.02*rng.NormFloat64())
		}
		b.WriteString("Wexcombe,W 1,0.700\n")
		return read(t, b.String())
	}
	for _, c := range []struct {
		offset float64
		parts  int
		basis  Basis
		beyond bool
	}{{0.08, 8, ByOpenings, true}, {0, 8, ByOpenings, false}, {0.08, 3, ByNothing, false}} {
		got, err := Makers(maker(c.offset, c.parts), []string{"Skerrow", "Lowmere", "Wexcombe"}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		m := measure(t, got, "can_gauge")
		if m.Basis != c.basis || m.Differences[0].Beyond != c.beyond || m.Values[2].N != 1 || got.Products[0].Parts != c.parts {
			t.Errorf("%+v: %+v", c, m)
		}
		if c.basis == ByNothing && !math.IsNaN(m.Differences[0].Limit) {
			t.Errorf("a limit where nothing is known: %+v", m)
		}
	}
	var unknown *drift.UnknownMakerError
	if _, err := Makers(maker(0, 3), []string{"Skerrow", "Skerow"}, Options{}); !errors.As(err, &unknown) {
		t.Errorf("unknown maker: %v", err)
	}
}

// Without several openings of one part and without repeated readings the step of
// the instrument decides, not the digits of a cell: a tape to 1/8 in, a
// micrometer to 0.01 mm, a scale to 0.1 g (common practice, no source).
func TestStepOfTheInstrument(t *testing.T) {
	c, err := Parts(read(t, "maker,part,media_length_in,can_gauge_mm,total_mass_g\nSkerrow,S 0,50.10,0.4512,200.123\nLowmere,L 0,50.20,0.4571,200.194\n"),
		[]price.Product{skerrow0, lowmere0}, nil, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for column, step := range map[string]float64{"media_length": 25.4 / 8, "can_gauge": 0.01, "total_mass": 0.1} {
		m := measure(t, c, column)
		if d := m.Differences[0]; m.Basis != ByStep || d.Beyond || math.Abs(d.Limit/step-1) > 1e-9 {
			t.Errorf("%s: %+v, want a limit of %g", column, m, step)
		}
	}
}
