package outlier

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pleatstat/stats/internal/testhelp"
	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

// shelf is a simulated log of prices on areas, both in logs: slope 0.9, spread
// 0.25, with the first so many parts priced at factor times what the rest are.
func shelf(rng *rand.Rand, n, planted int, factor float64) (linear.Design, []float64) {
	x, y := make([]float64, n), make([]float64, n)
	for i := range n {
		x[i] = 6 + 1.4*rng.Float64()
		y[i] = 0.9*x[i] - 3 + 0.25*rng.NormFloat64()
		if i < planted {
			y[i] += math.Log(factor)
		}
	}
	return linear.Design{Names: []string{"media_area"}, Columns: [][]float64{x}}, y
}

func TestScreenFindsWhatIsPlanted(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for _, n := range []int{40, 260, 3000, 20_000} {
		d, y := shelf(rng, n, n/20, 5)
		s, err := Screen(d, y, ScreenOptions{})
		if err != nil {
			t.Fatal(err)
		}
		found, wrong := 0, 0
		for i := range y {
			switch {
			case s.QHigh[i] > 0.05:
			case i < n/20:
				found++
			default:
				wrong++
			}
		}
		if found < n/20*9/10 || wrong > 4+found/10 {
			t.Errorf("n %d: %d of %d planted rows found, %d others", n, found, n/20, wrong)
		}
		if low, high := s.SlopeRange(1, 0.999); low > 0.9 || high < 0.9 {
			t.Errorf("n %d: slope %.3f to %.3f, planted 0.9", n, low, high)
		}
		if sd := s.Fit.ResidualSD; sd < 0.2 || sd > 0.3 {
			t.Errorf("n %d: spread %.3f, planted 0.25", n, sd)
		}
	}
}

// flagged are the verdicts a report gives.
func flagged(s *Screened) (high, low, two []bool) {
	for i := range s.QHigh {
		high = append(high, s.QHigh[i] <= 0.05)
		low = append(low, s.QLow[i] <= 0.05)
		two = append(two, s.QTwo[i] <= 0.05)
	}
	return high, low, two
}

func TestScreenVerdictsDoNotDependOnUnitsOrOrder(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	trials := 40
	if testing.Short() {
		trials = 4
	}
	for trial := range trials {
		n := 20 + rng.IntN(300)
		d, y := shelf(rng, n, n/12, 2.2)
		x := d.Columns[0]
		beforeX, beforeY := slices.Clone(x), slices.Clone(y)
		s, err := Screen(d, y, ScreenOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(x, beforeX) || !slices.Equal(y, beforeY) {
			t.Fatal("input was modified")
		}
		high, low, two := flagged(s)
		order := rng.Perm(n)
		for what, c := range map[string]struct {
			x, y []float64
			back []int
		}{
			"other units":     {testhelp.Mapped(x, func(v float64) float64 { return v - math.Log(6.4516) }), testhelp.Mapped(y, func(v float64) float64 { return v + math.Log(0.92) }), nil},
			"both scaled":     {testhelp.Mapped(x, func(v float64) float64 { return 25.4 * v }), testhelp.Mapped(y, func(v float64) float64 { return 0.0353 * v }), nil},
			"other row order": {testhelp.Picked(x, order), testhelp.Picked(y, order), order},
			"x turned round":  {testhelp.Mapped(x, func(v float64) float64 { return -v }), y, nil},
		} {
			g, err := Screen(linear.Design{Columns: [][]float64{c.x}}, c.y, ScreenOptions{})
			if err != nil {
				t.Fatal(err)
			}
			h, l, w := flagged(g)
			for i := range h {
				at := i
				if c.back != nil {
					at = c.back[i]
				}
				if h[i] != high[at] || l[i] != low[at] || w[i] != two[at] {
					t.Errorf("trial %d, %s: row %d has q %v, %v, %v; before %v, %v, %v", trial, what, at,
						g.QHigh[i], g.QLow[i], g.QTwo[i], s.QHigh[at], s.QLow[at], s.QTwo[at])
				}
			}
		}
		// Cheap is dear upside down.
		g, err := Screen(d, testhelp.Mapped(y, func(v float64) float64 { return -v }), ScreenOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if h, l, _ := flagged(g); !slices.Equal(h, low) || !slices.Equal(l, high) {
			t.Errorf("trial %d: verdicts differ upside down", trial)
		}
	}
}

func TestScreenGivesEqualRowsEqualVerdicts(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	d, y := shelf(rng, 60, 4, 3)
	x := slices.Concat(d.Columns[0], d.Columns[0])
	s, err := Screen(linear.Design{Columns: [][]float64{x}}, slices.Concat(y, y), ScreenOptions{})
	if err != nil {
		t.Fatal(err)
	}
	testhelp.NearAll(t, "q of duplicates", s.QHigh[:60], s.QHigh[60:], 1e-12)
	if testhelp.CountUpTo(s.QHigh[:4], 0.05) == 0 {
		t.Error("none of the planted rows is found")
	}
}

func TestScreenOnExactAndNearlyExactLines(t *testing.T) {
	x := make([]float64, 30)
	for i := range x {
		x[i] = float64(i)
	}
	y := testhelp.Mapped(x, func(v float64) float64 { return 0.3 + 0.7*v })
	check := func(what string, flags int) {
		t.Helper()
		s, err := Screen(linear.Design{Columns: [][]float64{x}}, y, ScreenOptions{})
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		for _, p := range [][]float64{s.PHigh, s.PLow, s.PTwo, s.QHigh, s.QLow, s.QTwo} {
			testhelp.CheckChances(t, p)
		}
		if got := testhelp.CountUpTo(s.QTwo, 0.05); got != flags {
			t.Errorf("%s: %d flags, want %d", what, got, flags)
		}
		if _, low, high := s.PredictionRange([]float64{3}, 0.95); math.IsNaN(low) || math.IsNaN(high) {
			t.Errorf("%s: range %v to %v", what, low, high)
		}
	}
	check("exact line", 0)
	y[9] += 5
	check("one row off an exact line", 1)
	// Most readings equal, the rest scattered: no reading is a discovery for not
	// being equal.
	rng := rand.New(rand.NewPCG(4, 4))
	for i := range y {
		y[i] = 50
		if i%5 < 2 {
			y[i] += math.Round(3 * rng.NormFloat64())
		}
	}
	check("most readings equal", 0)
}

func TestScreenErrors(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	d, y := shelf(rng, 20, 0, 1)
	var few *num.TooFewError
	for n := range 4 {
		if _, err := Screen(linear.Design{Columns: [][]float64{d.Columns[0][:n]}}, y[:n], ScreenOptions{}); !errors.As(err, &few) {
			t.Errorf("%d rows: %v", n, err)
		}
	}
	var rank *num.RankError
	if _, err := Screen(linear.Design{Columns: [][]float64{slices.Repeat([]float64{7.1}, 20)}}, y, ScreenOptions{}); !errors.As(err, &rank) {
		t.Errorf("equal x: %v", err)
	}
	var bad *num.NonFiniteError
	y[5] = math.Inf(1)
	if _, err := Screen(d, y, ScreenOptions{}); !errors.As(err, &bad) || bad.Row != 5 {
		t.Errorf("infinite response: %v", err)
	}
	var length *num.LengthError
	if _, err := Screen(d, y[:19], ScreenOptions{}); !errors.As(err, &length) {
		t.Errorf("lengths: %v", err)
	}
}

// A column that only rows set aside can determine must not stop the screen.
func TestScreenWithARareCategory(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	d, y := shelf(rng, 50, 0, 1)
	wire := make([]float64, 50)
	wire[11] = 1
	y[11] += 4
	s, err := Screen(linear.Design{Columns: [][]float64{d.Columns[0], wire}}, y, ScreenOptions{})
	if err != nil {
		t.Fatal(err)
	}
	testhelp.CheckChances(t, s.QHigh)
}

// Error rates on a small grid; the harness in cmd/calibrate has the full one.
// Tolerances are three standard errors of the simulation.
func TestScreenErrorRates(t *testing.T) {
	if testing.Short() {
		t.Skip("a simulation, which runs without -short")
	}
	for _, c := range []struct {
		n, planted    int
		runs          int
		rate          float64 // false discovery rate aimed at
		power, in, at float64 // least power; coverage of the 95 % range and its tolerance
	}{
		{n: 30, runs: 300, rate: 0.05, in: 0.95, at: 0.02},
		{n: 60, planted: 5, runs: 120, rate: 0.05, power: 0.33, in: 0.95, at: 0.02},
		{n: 120, runs: 150, rate: 0.05, in: 0.95, at: 0.015},
		{n: 120, planted: 10, runs: 120, rate: 0.05, power: 0.45, in: 0.95, at: 0.02},
	} {
		var rate, power, inside, slope float64
		runs := float64(c.runs)
		for run := range c.runs {
			rng := rand.New(rand.NewPCG(12, uint64(run)))
			d, y := shelf(rng, c.n, c.planted, 2.2)
			s, err := Screen(d, y, ScreenOptions{})
			if err != nil {
				t.Fatal(err)
			}
			right := testhelp.CountUpTo(s.QHigh[:c.planted], 0.05)
			wrong := testhelp.CountUpTo(s.QHigh[c.planted:], 0.05)
			rate += float64(wrong) / math.Max(1, float64(right+wrong)) / runs
			power += float64(right) / math.Max(1, float64(c.planted)) / runs
			fresh, prices := shelf(rng, 20, 0, 1)
			for i, x := range fresh.Columns[0] {
				if _, low, high := s.PredictionRange([]float64{x}, 0.95); low <= prices[i] && prices[i] <= high {
					inside += 1.0 / 20 / runs
				}
			}
			if low, high := s.SlopeRange(1, 0.95); low <= 0.9 && 0.9 <= high {
				slope += 1.0 / runs
			}
		}
		t.Logf("n %d, %d planted: false discovery rate %.3f, power %.3f, in the 95 %% range %.3f, slope in its range %.3f", c.n, c.planted, rate, power, inside, slope)
		if limit := c.rate + 3*math.Sqrt(c.rate*(1-c.rate)/runs); rate > limit {
			t.Errorf("n %d, %d planted: false discovery rate %.3f, want at most %.3f", c.n, c.planted, rate, limit)
		}
		if power < c.power {
			t.Errorf("n %d, %d planted: power %.3f, want at least %.2f", c.n, c.planted, power, c.power)
		}
		if math.Abs(inside-c.in) > c.at || slope < 0.9 {
			t.Errorf("n %d, %d planted: in the range %.3f, slope %.3f, want %.2f", c.n, c.planted, inside, slope, c.in)
		}
	}
}
