package rank

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pleatstat/stats/internal/testhelp"
	"pleatstat/stats/num"
)

// seasons splits a monthly series into twelve blocks.
func seasons(year, month, y []float64) []num.Series {
	blocks := make([]num.Series, 12)
	for i := range y {
		b := &blocks[int(month[i])-1]
		b.T, b.Y = append(b.T, year[i]), append(b.Y, y[i])
	}
	return blocks
}

// Pohlert (2023), Non-Parametric Trend Tests and Change-Point Detection,
// sections 1.2 and 2.2 (Nottingham monthly temperatures); USEPA (2009),
// Unified Guidance, example 14-10; further digits computed with R 4.2.2.
func TestBlockedKendallPublished(t *testing.T) {
	for _, c := range []struct{ id, y string }{{"seasonal_nottem", "temp_f"}, {"seasonal_epa", "conc"}} {
		t.Run(c.id, func(t *testing.T) {
			ref := testhelp.Published(t, c.id)
			blocks := seasons(ref.Column(t, "year"), ref.Column(t, "month"), ref.Column(t, c.y))
			r, err := BlockedKendall(blocks)
			if err != nil {
				t.Fatal(err)
			}
			testhelp.Near(t, "S", float64(r.S), ref.Number(t, "computed", "S"), 0)
			testhelp.Near(t, "Var", r.Var, ref.Number(t, "computed", "varS"), 1e-13)
			testhelp.Near(t, "Z", r.Z, ref.Number(t, "computed", "Z_cc"), 1e-13)
			testhelp.Near(t, "p", r.P, ref.Number(t, "computed", "p_cc"), 1e-11)
			testhelp.Near(t, "heterogeneity", r.Heterogeneity, ref.Number(t, "computed", "chi2_het"), 1e-10)
			testhelp.Near(t, "its degrees of freedom", float64(r.HeterogeneityDF), ref.Number(t, "computed", "df_het"), 0)
			for i, s := range ref.Numbers(t, "computed", "S_season") {
				testhelp.Near(t, "S of a season", float64(r.Each[i].S), s, 0)
				testhelp.Near(t, "Var of a season", r.Each[i].Var, ref.Numbers(t, "computed", "varS_season")[i], 1e-13)
			}
			sen, err := BlockedSen(blocks, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			testhelp.Near(t, "slope", sen.Slope, ref.Number(t, "computed", "sen_slope"), 1e-12)
			for key, v := range map[string]float64{
				"S": float64(r.S), "varS": r.Var, "z_continuity": r.Z, "z": r.Z, "p": r.P,
				"chi2_heterogeneity": r.Heterogeneity, "seasonal_sen_slope": sen.Slope, "slope": sen.Slope,
			} {
				if ref.Has("published", key) {
					testhelp.Printed(t, key, v, testhelp.PublishedText(t, ref, "published", key))
				}
			}
			if ref.Has("published", "ci_gilbert") {
				interval := ref.At(t, "published", "ci_gilbert").([]any)
				testhelp.Printed(t, "low", sen.Low, interval[0].(string))
				testhelp.Printed(t, "high", sen.High, interval[1].(string))
			}
		})
	}
}

// For one block it is Sen's slope: Sen (1968), JASA 63, 1379–1389 (slope 4), with
// the interval in Gilbert's convention.
func TestBlockedSenOneBlock(t *testing.T) {
	for _, c := range []struct{ id, x, y string }{
		{"sen1968", "t", "y"}, {"mk_epa_large", "week", "x"}, {"mk_nile", "year", "flow"},
		{"mk_epa_sulfate", "sampling_date", "sulfate_ppm"}, {"mk_epa_sodium", "year", "sodium_ppm"},
	} {
		t.Run(c.id, func(t *testing.T) {
			ref := testhelp.Published(t, c.id)
			confidence := 0.95
			if c.id == "sen1968" {
				confidence = 0.93 // that of the paper
			}
			r, err := BlockedSen([]num.Series{{T: ref.Column(t, c.x), Y: ref.Column(t, c.y)}}, confidence)
			if err != nil {
				t.Fatal(err)
			}
			testhelp.Near(t, "slope", r.Slope, ref.Number(t, "computed", "sen_slope"), 1e-12)
			testhelp.Near(t, "low", r.Low, ref.Number(t, "computed", "sen_ci", "gilb_lo"), 1e-10)
			testhelp.Near(t, "high", r.High, ref.Number(t, "computed", "sen_ci", "gilb_hi"), 1e-10)
		})
	}
}

// The exact p-value equals that over all combinations of orders of the blocks.
func TestBlockedKendallExactAgainstAllOrders(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 1))
	for range 40 {
		blocks := make([]num.Series, 2)
		for i := range blocks {
			n := 2 + rng.IntN(3)
			blocks[i] = num.Series{T: testhelp.Coarse(rng, n, 6), Y: testhelp.Coarse(rng, n, 4)}
		}
		r, err := BlockedKendall(blocks)
		if err != nil {
			t.Fatal(err)
		}
		count := func(b num.Series, order []int) int {
			s := 0
			for i := range b.T {
				for j := range i {
					s += num.Compare(b.T[i], b.T[j]) * num.Compare(b.Y[order[i]], b.Y[order[j]])
				}
			}
			return s
		}
		extreme, total := 0, 0
		permutations(len(blocks[0].T), func(first []int) {
			a := count(blocks[0], first)
			permutations(len(blocks[1].T), func(second []int) {
				s := a + count(blocks[1], second)
				total++
				if max(s, -s) >= max(r.S, -r.S) {
					extreme++
				}
			})
		})
		if want := float64(extreme) / float64(total); math.Abs(r.ExactP-want) > 1e-12 {
			t.Fatalf("%v: exact p %v, want %v", blocks, r.ExactP, want)
		}
	}
}

// The slopes found by bisection equal those of the sorted list.
func TestBlockedSenBisectionAgainstList(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 1))
	for range 30 {
		blocks := make([]num.Series, 1+rng.IntN(4))
		var listed []float64
		for i := range blocks {
			n := 2 + rng.IntN(40)
			blocks[i] = num.Series{T: testhelp.Coarse(rng, n, 25), Y: make([]float64, n)}
			for k := range blocks[i].Y {
				blocks[i].Y[k] = math.Round(100*rng.NormFloat64()) / 100
				for j := range k {
					if blocks[i].T[k] != blocks[i].T[j] {
						listed = append(listed, (blocks[i].Y[k]-blocks[i].Y[j])/(blocks[i].T[k]-blocks[i].T[j]))
					}
				}
			}
		}
		if listed == nil {
			continue
		}
		slices.Sort(listed)
		at := bisectSlopes(blocks)
		for _, rank := range []int{1, (len(listed) + 1) / 2, len(listed)} {
			if got, want := at(rank), listed[rank-1]; math.Abs(got-want) > 1e-11*(1+math.Abs(want)) {
				t.Fatalf("rank %d of %d: %v, want %v", rank, len(listed), got, want)
			}
		}
	}
}

func TestBlockedRefuses(t *testing.T) {
	one := []num.Series{{T: []float64{1}, Y: []float64{2}}}
	if _, err := BlockedKendall(one); err == nil {
		t.Error("blocks of one value were accepted")
	}
	if _, err := BlockedSen([]num.Series{{T: []float64{1, 1}, Y: []float64{2, 3}}}, 0.95); err == nil {
		t.Error("values of one time were accepted")
	}
	if _, err := BlockedKendall([]num.Series{{T: []float64{1, 2}, Y: []float64{2, math.Inf(1)}}}); err == nil {
		t.Error("an infinite value was accepted")
	}
	if r, _ := BlockedSen([]num.Series{{T: []float64{1, 2}, Y: []float64{2, 3}}}, 2); !math.IsNaN(r.Low) || r.Slope != 1 {
		t.Errorf("confidence of 2: %+v", r)
	}
}
