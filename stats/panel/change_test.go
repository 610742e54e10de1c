package panel

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pleatstat/stats/internal/testhelp"
	"pleatstat/stats/num"
	"pleatstat/stats/rank"
)

// Annual flow of the Nile at Aswan (Cobb 1978, Biometrika 65, 243–251): the
// level fell after 1898, year 28 of the series (Pohlert 2023, sections 3.2 to
// 3.4).
func TestChangeOfTheNile(t *testing.T) {
	ref := testhelp.Published(t, "pettitt_nile")
	flow := ref.Column(t, "flow")
	h, err := rank.HodgesLehmann([][]float64{flow[:28]}, [][]float64{flow[28:]}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	testhelp.Near(t, "shift", -h.Shift, ref.Number(t, "computed", "hodges_lehmann_before_minus_after"), 1e-12)

	// The search over blocks finds the published date of the step.
	year := ref.Column(t, "year")
	c, err := FixedEffectsChange([]num.Series{{T: year, Y: flow}}, ChangeOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if c.Shape != Stepped || c.StepFrom != 1899 {
		t.Errorf("got %+v, want a step from 1899 on", c)
	}
	if c.StepEarly > 1898 || c.StepLate < 1899 || c.StepLate-c.StepEarly > 12 {
		t.Errorf("range of the date %v to %v", c.StepEarly, c.StepLate)
	}
}

func TestFixedEffectsChangeShapes(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 1))
	counts := map[string]map[ChangeShape]int{}
	within := 0
	const runs = 60
	for range runs {
		for name, b := range map[string][]num.Series{
			"step":     steps(rng, 6, 6, 3, -0.04, 0, 0.006),
			"bend":     steps(rng, 6, 8, 3, 0, -0.02, 0.006),
			"straight": steps(rng, 6, 6, 0, 0, -0.01, 0.006),
			"level":    steps(rng, 6, 6, 0, 0, 0, 0.006),
		} {
			c, err := FixedEffectsChange(b, ChangeOptions{})
			if err != nil {
				t.Fatal(err)
			}
			if counts[name] == nil {
				counts[name] = map[ChangeShape]int{}
			}
			counts[name][c.Shape]++
			if name == "step" && math.Abs(c.StepFrom-3) < 0.5 && c.StepEarly <= 3 && c.StepLate >= 3 {
				within++
			}
		}
	}
	t.Log(counts, within)
	if counts["step"][Stepped] < runs*9/10 || within < runs*85/100 {
		t.Errorf("steps: %v, dated within half a year and inside the range: %d of %d", counts["step"], within, runs)
	}
	if counts["straight"][Straight] < runs*8/10 || counts["level"][Straight] < runs*8/10 {
		t.Errorf("straight lines: %v, level: %v", counts["straight"], counts["level"])
	}
	if counts["bend"][Bent] < runs/2 {
		t.Errorf("bends: %v", counts["bend"])
	}
}

func TestFixedEffectsChangeIsUnmovedByOrderShiftAndSlips(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 1))
	b := steps(rng, 5, 7, 2.5, -0.05, 0, 0.005)
	want, err := FixedEffectsChange(b, ChangeOptions{})
	if err != nil {
		t.Fatal(err)
	}
	other := make([]num.Series, len(b))
	for i, s := range b {
		for _, at := range rng.Perm(len(s.T)) {
			other[i].T = append(other[i].T, s.T[at])
			other[i].Y = append(other[i].Y, s.Y[at])
		}
	}
	before := slices.Clone(other[0].Y)
	got, err := FixedEffectsChange(other, ChangeOptions{})
	if err != nil || *got != *want {
		t.Errorf("order of rows changed %+v to %+v (%v)", want, got, err)
	}
	if !slices.Equal(before, other[0].Y) {
		t.Error("input modified")
	}
	b[2].Y[3] = 4.1 // a misplaced decimal point
	got, err = FixedEffectsChange(b, ChangeOptions{})
	if err != nil || math.Abs(got.StepFrom-want.StepFrom) > 0.6 || math.Abs(got.Step-want.Step) > 0.01 {
		t.Errorf("one slip changed %+v to %+v (%v)", want, got, err)
	}
}

func TestChangeRefuses(t *testing.T) {
	if _, err := FixedEffectsChange([]num.Series{{T: []float64{1, 2}, Y: []float64{1, 2}}}, ChangeOptions{}); err == nil {
		t.Error("two values were accepted")
	}
	if _, err := FixedEffectsChange([]num.Series{{T: []float64{1, 2, 3}, Y: []float64{1, 2, 3}}}, ChangeOptions{}); err == nil {
		t.Error("three values were accepted")
	}
}
