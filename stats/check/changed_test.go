package check

import (
	"fmt"
	"strings"
	"testing"

	"pleatstat/dataset"
)

// twoParts is a log of a part that stays (L 1) and of one (SK 1) whose readings
// are those of then up to row from, and those of now after it.
func changedLog(n, from, to int, then, now [6]float64) string {
	var b strings.Builder
	b.WriteString("opened,maker,part,pleats,can_gauge_mm,total_mass_g,element_mass_g,can_mass_g,base_plate_mass_g\n")
	for i := range n {
		v := then
		if i >= from && i < to {
			v = now
		}
		jitter := 1 + 0.004*float64(i%3-1) // a bench's own
		fmt.Fprintf(&b, "%d-03-01,Skerrow,SK 1,%.0f,%.2f,%.1f,%.1f,%.1f,%.1f\n", 2015+i, v[0], v[1]*jitter, v[2]*jitter, v[3]*jitter, v[4]*jitter, v[5])
		fmt.Fprintf(&b, "%d-06-01,Lowmere,L 1,60,0.45,190.0,38.0,80.0,50.0\n", 2015+i)
	}
	return b.String()
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
	with := func(change map[int]float64) [6]float64 { // shares by which readings move
		v := then
		for k, by := range change {
			v[k] *= 1 + by
		}
		return v
	}
	const jitter = 0.008 // from lowest to highest of the log above
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
		tab := newTable(read(t, changedLog(8, 5, 8, then, c.now)))
		if got := changes(tab); (len(got) == 1) != c.changed {
			t.Errorf("%s: %+v", name, got)
		}
	}
	// Measures of one group move together by themselves.
	text := "opened,maker,part,pleats,media_length_mm,media_mass_g\n"
	for i := range 6 {
		k := 1.0
		if i > 2 {
			k = 0.85
		}
		text += fmt.Sprintf("%d-01-05,Skerrow,SK 1,%.0f,%.0f,%.1f\n", 2018+i, 60*k, 1200*k, 12*k)
	}
	if got := changes(newTable(read(t, text))); len(got) != 0 {
		t.Errorf("one group: %+v", got)
	}
}

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
