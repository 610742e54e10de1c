package panel

import (
	"math"
	"testing"

	"pleatstat/stats/internal/testhelp"
)

// Montgomery, Introduction to Statistical Quality Control, example 9.1, table
// 9.2: target 10, K 0.5, H 5; the first value above H is number 29, the shift
// began after number 22.
func TestCUSUMMontgomery(t *testing.T) {
	ref := testhelp.Published(t, "cusum_montgomery")
	r, err := CUSUM(ref.Column(t, "x"), CUSUMOptions{Target: 10, K: 0.5, H: 5})
	if err != nil {
		t.Fatal(err)
	}
	for i, text := range ref.At(t, "published", "Cplus_1_to_29").([]any) {
		want := testhelp.ToNumber(t, text)
		if math.Abs(r.Up[i]-want) > 0.005 {
			t.Errorf("upper sum %d: %v, printed %v", i+1, r.Up[i], want)
		}
	}
	testhelp.Printed(t, "upper sum 30", r.Up[29], testhelp.PublishedText(t, ref, "published", "Cplus_30"))
	if r.Alarm+1 != int(ref.Number(t, "published", "first_signal")) || r.Downward || r.Since != 22 {
		t.Errorf("alarm at %d (down %v), rising since %d; want 29, upwards, since number 23", r.Alarm+1, r.Downward, r.Since+1)
	}
	testhelp.Near(t, "run at 29", float64(r.RunUp[28]), ref.Number(t, "published", "Nplus_29"), 0)
	for i, want := range ref.Numbers(t, "computed", "Cminus") {
		if math.Abs(r.Down[i]-want) > 1e-12 {
			t.Errorf("lower sum %d: %v, want %v", i+1, r.Down[i], want)
		}
	}
}

// NIST/SEMATECH e-Handbook, section 6.3.2.3 (data and settings from memory;
// sums computed with R 4.2.2): the alarm comes with group 14.
func TestCUSUMHandbook(t *testing.T) {
	ref := testhelp.Published(t, "cusum_nist")
	r, err := CUSUM(ref.Column(t, "xbar"), CUSUMOptions{Target: 325, K: 0.3175, H: 4.1959})
	if err != nil {
		t.Fatal(err)
	}
	high, low := ref.Numbers(t, "computed", "S_hi"), ref.Numbers(t, "computed", "S_lo")
	for i := range high {
		if math.Abs(r.Up[i]-high[i]) > 1e-9 || math.Abs(r.Down[i]-low[i]) > 1e-9 {
			t.Errorf("group %d: %v and %v, want %v and %v", i+1, r.Up[i], r.Down[i], high[i], low[i])
		}
	}
	if r.Alarm+1 != 14 {
		t.Errorf("alarm with group %d, want 14", r.Alarm+1)
	}
}

// Montgomery, chapter 9 (from memory): for k 0.5 and h 5 the approximation gives
// about 938 values to a one-sided false alarm, 469 to a two-sided one, and 10.3 to
// detect a shift of one standard deviation.
func TestCUSUMRunLength(t *testing.T) {
	if got := CUSUMRunLength(0, 0.5, 5); math.Abs(got-469.1) > 0.05 {
		t.Errorf("without a shift %v, want 469.1", got)
	}
	if got := CUSUMRunLength(1, 0.5, 5); math.Abs(got-10.34) > 0.01 {
		t.Errorf("shift of one %v, want 10.34", got)
	}
	h := CUSUMLimit(30, 0.5, 0.01)
	if got := CUSUMRunLength(0, 0.5, h); math.Abs(got/(30/-math.Log1p(-0.01))-1) > 1e-5 {
		t.Errorf("limit %v has a run length of %v", h, got)
	}
	if !math.IsNaN(CUSUMLimit(0, 0.5, 0.01)) || !math.IsNaN(CUSUMRunLength(0, 0, 5)) {
		t.Error("settings without meaning want NaN")
	}
}

func TestCUSUMRefuses(t *testing.T) {
	if _, err := CUSUM([]float64{1, math.NaN()}, CUSUMOptions{}); err == nil {
		t.Error("NaN was accepted")
	}
	if r, err := CUSUM(nil, CUSUMOptions{}); err != nil || r.Alarm != -1 {
		t.Errorf("no values: %+v, %v", r, err)
	}
}
