package changepoint_test

import (
	"fmt"
	"strings"
	"testing"

	"pleatstat/dataset"
	"pleatstat/stats/changepoint"
	"pleatstat/stats/check"
)

// changedLog returns a log with n openings of a part that stays the same (L 1) and n
// of one (SK 1) whose readings are now for openings from to to-1 and then otherwise.
func changedLog(n, from, to int, then, now [6]float64) string {
	var b strings.Builder
	b.WriteString("opened,maker,part,pleats,can_gauge_mm,total_mass_g,element_mass_g,can_mass_g,base_plate_mass_g\n")
	for i := range n {
		v := then
		if i >= from && i < to {
			v = now
		}
		jitter := 1 + 0.004*float64(i%3-1) // scatter between openings
		fmt.Fprintf(&b, "%d-03-01,Skerrow,SK 1,%.0f,%.2f,%.1f,%.1f,%.1f,%.1f\n", 2015+i, v[0], v[1]*jitter, v[2]*jitter, v[3]*jitter, v[4]*jitter, v[5])
		fmt.Fprintf(&b, "%d-06-01,Lowmere,L 1,60,0.45,190.0,38.0,80.0,50.0\n", 2015+i)
	}
	return b.String()
}

func read(t *testing.T, text string) *dataset.Log {
	t.Helper()
	log, err := dataset.Read(strings.NewReader(text), "bench.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return log
}

// changes returns the changes in a log as it was read.
func changes(log *dataset.Log) []changepoint.Change {
	products := make([][]int, log.Products())
	for i := range log.Rows() {
		products[log.Product(i)] = append(products[log.Product(i)], i)
	}
	found, _ := changepoint.Find(log, log.Floats, products)
	return found
}

// run also checks a log for entry errors.
func run(t *testing.T, log *dataset.Log) *check.Result {
	t.Helper()
	r, err := check.Run(log, check.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

var then, now = [6]float64{66, 0.47, 205, 42, 92, 52}, [6]float64{58, 0.41, 182, 36, 80, 52}

func TestNotTheSameFilter(t *testing.T) {
	r := run(t, read(t, changedLog(8, 5, 8, then, now)))
	if len(r.Changes) != 1 {
		t.Fatalf("changes %+v, problems %+v", r.Changes, r.Problems)
	}
	c := r.Changes[0]
	if c.Part != "SK 1" || c.Line != 12 || c.Before != 5 || c.After != 3 || c.Alone || len(c.Moved) != 5 || c.Moved[0].Column == "" {
		t.Errorf("%+v", c)
	}
	for _, m := range c.Moved {
		if m.Column == "pleats" && (m.Before != 66 || m.After != 58) || m.Column == "base_plate_mass" {
			t.Errorf("%+v", m)
		}
	}
	if len(r.Problems)+len(r.SetAside) != 0 {
		t.Errorf("news is told as slips: %+v", r.Problems)
	}
	alone := run(t, read(t, changedLog(8, 4, 5, then, now)))
	if len(alone.Changes) != 1 || !alone.Changes[0].Alone || alone.Changes[0].Line != 10 || alone.Changes[0].Before != 7 || len(alone.Problems) != 0 {
		t.Errorf("one opening alone: %+v, %+v", alone.Changes, alone.Problems)
	}
	last := run(t, read(t, changedLog(8, 7, 8, then, now)))
	if len(last.Changes) != 1 || last.Changes[0].Alone || last.Changes[0].After != 1 {
		t.Errorf("the last opening: %+v", last.Changes)
	}
}

// Both sides of each threshold of a change.
func TestChangeThresholds(t *testing.T) {
	with := func(change map[int]float64) [6]float64 { // shares by which readings change
		v := then
		for k, by := range change {
			v[k] *= 1 + by
		}
		return v
	}
	const jitter = 0.008 // from lowest to highest in changedLog
	for name, c := range map[string]struct {
		now     [6]float64
		changed bool
	}{
		"three measures":           {with(map[int]float64{1: -0.15, 2: -0.15, 3: -0.15}), true},
		"two measures":             {with(map[int]float64{1: -0.15, 2: -0.15}), false},
		"three, far enough apart":  {with(map[int]float64{2: 0.075 + 2*jitter, 3: 0.075 + 2*jitter, 4: 0.075 + 2*jitter}), true},
		"three, not far enough":    {with(map[int]float64{2: 0.075 - jitter, 3: 0.075 - jitter, 4: 0.075 - jitter}), false},
		"below the factor":         {with(map[int]float64{2: 2.0*0.97 - 1, 3: 2.0*0.97 - 1, 4: 2.0*0.97 - 1}), true},
		"beyond the factor, slips": {with(map[int]float64{2: 2.0*1.03 - 1, 3: 2.0*1.03 - 1, 4: 2.0*1.03 - 1}), false},
	} {
		if got := changes(read(t, changedLog(8, 5, 8, then, c.now))); (len(got) == 1) != c.changed {
			t.Errorf("%s: %+v", name, got)
		}
	}
	// Measures of one group alone do not make a change.
	text := "opened,maker,part,pleats,media_length_mm,media_mass_g\n"
	for i := range 6 {
		k := 1.0
		if i > 2 {
			k = 0.85
		}
		text += fmt.Sprintf("%d-01-05,Skerrow,SK 1,%.0f,%.0f,%.1f\n", 2018+i, 60*k, 1200*k, 12*k)
	}
	if got := changes(read(t, text)); len(got) != 0 {
		t.Errorf("one group: %+v", got)
	}
}
