package drift_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

func TestTooFewSaysHowManyWouldDo(t *testing.T) {
	b := newLog("can_gauge_mm")
	b.add(0, "Skerrow", "S1", "0.41")
	b.add(900, "Skerrow", "S1", "0.40")
	b.add(1500, "Skerrow", "S1", "0.39")
	b.add(0, "Thornquay", "T1", "0.41")
	b.add(700, "Thornquay", "T2", "0.40")
	for i := range 8 {
		b.add(i, "Veldmarsh", "V1", fmt.Sprintf("0.4%d", i%2))
	}
	entries := analyse(t, b.read(t), drift.Options{})
	for _, c := range []struct {
		maker  string
		n      int
		needed int
	}{{"Skerrow", 3, 6}, {"Thornquay", 0, 6}, {"Veldmarsh", 8, 9}} {
		e := entry(t, entries, c.maker, "", "can_gauge")
		if e.Verdict != drift.TooFew || e.N != c.n || e.Needed != c.needed || len(e.Warnings) != 1 {
			t.Errorf("%s: %s, n %d, needed %d, warnings %q; want %d and %d", c.maker, e.Verdict, e.N, e.Needed, e.Warnings, c.n, c.needed)
		}
		if !math.IsNaN(e.Q) {
			t.Errorf("%s: q %v of what was not tested", c.maker, e.Q)
		}
	}
	// As many more as requested are enough.
	for i := range 3 {
		b.add(1600+100*i, "Skerrow", "S1", "0.39")
	}
	if e := entry(t, analyse(t, b.read(t), drift.Options{}), "Skerrow", "", "can_gauge"); e.Verdict == drift.TooFew {
		t.Errorf("six openings of one part: still %s, %q", e.Verdict, e.Warnings)
	}
}

// As many more openings as the entry asks for bring the detectable change down to
// the reference of 0.01 mm a year.
func TestMoreOpeningsWouldDo(t *testing.T) {
	coarse := func(each int) drift.Entry {
		rng := rand.New(rand.NewPCG(8, 1))
		b := newLog("can_gauge_mm")
		for _, name := range harbour {
			for i := range each {
				v := level(i%4) + 0.03*rng.NormFloat64()
				b.add(rng.IntN(6*365), name, fmt.Sprint(name[:1], i%4), fmt.Sprintf("%.2f", v))
			}
		}
		return entry(t, analyse(t, b.read(t), drift.Options{}), "Skerrow", "", "can_gauge")
	}
	few := coarse(16)
	if few.Verdict != drift.NoChange || !(few.Detectable > 0.01) || few.MoreOpenings < 1 {
		t.Fatalf("%d openings: %s, detectable %v, %d more", few.N, few.Verdict, few.Detectable, few.MoreOpenings)
	}
	many := coarse(16 + few.MoreOpenings)
	if many.Detectable > 0.0125 || many.MoreOpenings > few.MoreOpenings/2 {
		t.Errorf("with %d openings more: detectable %v, %d more asked for", few.MoreOpenings, many.Detectable, many.MoreOpenings)
	}
	if lots := coarse(16 + 3*few.MoreOpenings); lots.Detectable > 0.01 || lots.MoreOpenings != 0 {
		t.Errorf("with three times as many: detectable %v, %d more asked for", lots.Detectable, lots.MoreOpenings)
	}
}

func TestAnalyseEdges(t *testing.T) {
	for name, text := range map[string]string{
		"no dates":       "maker,part,can_gauge_mm\nSkerrow,S1,0.4\nSkerrow,S1,0.4\n",
		"none of these":  "opened,maker,part,media_mass\n2020-01-01,Skerrow,S1,9\n2021-01-01,Skerrow,S1,9\n",
		"one row":        "opened,maker,part,can_gauge_mm\n2020-01-01,Skerrow,S1,0.4\n",
		"blank maker":    "opened,maker,part,can_gauge_mm\n2020-01-01,,S1,0.4\n2021-01-01,,S1,0.4\n",
		"unreadable":     "opened,maker,part,can_gauge_mm\n2020-01-01,Skerrow,S1,wall\nsoon,Skerrow,S1,0.4\n",
		"zero and below": "opened,maker,part,price\n2020-01-01,Skerrow,S1,0\n2021-01-01,Skerrow,S1,0\n2022-01-01,Skerrow,S1,0\n",
	} {
		log, err := dataset.Read(strings.NewReader(text), "harbour.csv", dataset.Options{})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for _, e := range analyse(t, log, drift.Options{}) {
			t.Errorf("%s: entry %+v", name, e)
		}
	}
	log := gauges(9, 12, func(_, p int, _ float64) float64 { return level(p) }).read(t)
	var measure *drift.UnknownMeasureError
	if _, err := drift.Analyse(log, drift.Options{Measures: []string{"thread"}}); !errors.As(err, &measure) || !strings.Contains(err.Error(), "can_gauge") {
		t.Errorf("unknown measure: %v", err)
	}
	var maker *drift.UnknownMakerError
	if _, err := drift.Analyse(log, drift.Options{Makers: []string{"Wexcombe"}}); !errors.As(err, &maker) || !strings.Contains(err.Error(), "Skerrow") {
		t.Errorf("unknown maker: %v", err)
	}
	// A selection of makers changes what is returned, not the correction.
	all, some := analyse(t, log, drift.Options{}), analyse(t, log, drift.Options{Makers: []string{"Lowmere"}})
	if got, want := entry(t, some, "Lowmere", "", "can_gauge"), entry(t, all, "Lowmere", "", "can_gauge"); got.Q != want.Q && !math.IsNaN(got.Q) {
		t.Errorf("q %v with one maker asked for, %v with all", got.Q, want.Q)
	}
	if slices.ContainsFunc(some, func(e drift.Entry) bool { return e.Maker != "Lowmere" }) {
		t.Error("makers that were not asked for are returned")
	}
}

// strip formats entries without what depends on the place in the file or on NaN.
func strip(entries []drift.Entry) []string {
	var out []string
	for _, e := range entries {
		e.Points = nil
		out = append(out, fmt.Sprintf("%+v", e))
	}
	return out
}

func thinning(m, p int, at float64) float64 {
	if m == 2 {
		return level(p) - 0.01*at
	}
	return level(p)
}

func TestOrderOfRowsDoesNotMatter(t *testing.T) {
	b := gauges(10, 30, thinning)
	lines := strings.SplitAfter(b.String(), "\n")
	rows := slices.Clone(lines[1 : len(lines)-1])
	rand.New(rand.NewPCG(1, 1)).Shuffle(len(rows), func(i, j int) { rows[i], rows[j] = rows[j], rows[i] })
	other := &logBuilder{}
	other.WriteString(lines[0] + strings.Join(rows, ""))
	got, want := strip(analyse(t, other.read(t), drift.Options{})), strip(analyse(t, b.read(t), drift.Options{}))
	if len(got) != len(want) {
		t.Fatalf("%d entries, want %d", len(got), len(want))
	}
	e, f := analyse(t, other.read(t), drift.Options{}), analyse(t, b.read(t), drift.Options{})
	for i := range e {
		k := slices.IndexFunc(f, func(x drift.Entry) bool { return x.Maker == e[i].Maker && x.Part == e[i].Part })
		if math.Abs(e[i].PerYear-f[k].PerYear) > 1e-9 || e[i].Verdict != f[k].Verdict || math.Abs(e[i].Q-f[k].Q) > 1e-6 || !e[i].ChangeFrom.Equal(f[k].ChangeFrom) {
			t.Errorf("%s %s: %v %v and %v %v", e[i].Maker, e[i].Part, e[i].PerYear, e[i].Q, f[k].PerYear, f[k].Q)
		}
	}
}

// The same log in other units, and a log seven years later, give the same result.
func TestUnitsAndDatesShift(t *testing.T) {
	b := gauges(11, 30, thinning)
	want := analyse(t, b.read(t), drift.Options{})
	micron := &logBuilder{}
	for i, line := range strings.SplitAfter(b.String(), "\n") {
		if i == 0 {
			line = "opened,maker,part,can_gauge_cm\n"
		} else if at := strings.LastIndex(line, ",0."); at >= 0 {
			line = line[:at] + ",0.0" + line[at+3:]
		}
		micron.WriteString(line)
	}
	for i, e := range analyse(t, micron.read(t), drift.Options{}) {
		if math.Abs(e.PerYear-want[i].PerYear) > 1e-9 || e.Verdict != want[i].Verdict {
			t.Errorf("%s %s: %v in cm, %v in mm", e.Maker, e.Part, e.PerYear, want[i].PerYear)
		}
	}
	later := &logBuilder{}
	later.WriteString(strings.NewReplacer("2019-", "2027-", "2020-", "2028-", "2021-", "2029-", "2022-", "2030-", "2023-", "2031-", "2024-", "2032-").Replace(b.String()))
	for i, e := range analyse(t, later.read(t), drift.Options{}) {
		if math.Abs(e.PerYear-want[i].PerYear) > 1e-6 || e.Verdict != want[i].Verdict {
			t.Errorf("%s %s: %v eight years later, %v", e.Maker, e.Part, e.PerYear, want[i].PerYear)
		}
	}
}

func TestSameOnAnyNumberOfCores(t *testing.T) {
	log := gauges(12, 30, thinning).read(t)
	want := analyse(t, log, drift.Options{})
	before := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(before)
	if got := analyse(t, log, drift.Options{}); !reflect.DeepEqual(strip(got), strip(want)) {
		t.Error("one core and several give different results")
	}
}

// No input makes the analysis panic or give a verdict without a q.
func FuzzAnalyse(f *testing.F) {
	f.Add("opened,maker,part,can_gauge_mm\n2020-01-01,Skerrow,S1,0.4\n2021,Skerrow,S1,0.4; 0.41\n2022-03,Skerrow,S1,~0.39\n")
	f.Add(gauges(13, 8, thinning).String())
	f.Add("opened,maker,part,price,media_area_in2\n2020-01-01,A,1,1e300,1e-300\n2021-01-01,A,1,-5,0\n2022-01-01,A,1,$3,7\n")
	f.Add("opened,maker,part,pleats\n0001-01-01,A,1,1\n9999-12-31,A,1,2\n9999-12-31,A,1,3\n")
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 4000 {
			return
		}
		log, err := dataset.Read(strings.NewReader(text), "harbour.csv", dataset.Options{})
		if err != nil {
			return
		}
		for _, e := range analyse(t, log, drift.Options{}) {
			if named(e) && !(e.Q <= 0.05) {
				t.Errorf("%s with q %v", e.Verdict, e.Q)
			}
		}
	})
}

func BenchmarkAnalyse(b *testing.B) {
	log := gauges(14, 2000, thinning).read(b)
	for b.Loop() {
		analyse(b, log, drift.Options{})
	}
}
