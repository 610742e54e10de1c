package outlier

import (
	"math"
	"math/rand/v2"
	"testing"

	"pleatstat/stats/linear"
)

// tailedShelf is a shelf of clean rows that scatter like Student's t with so
// many degrees of freedom, standard deviation 0.25.
func tailedShelf(rng *rand.Rand, n, df int) (linear.Design, []float64) {
	d, y := shelf(rng, n, 0, 1)
	for i, x := range d.Columns[0] {
		squares := 0.0
		for range df {
			z := rng.NormFloat64()
			squares += z * z
		}
		t := rng.NormFloat64() / math.Sqrt(squares/float64(df))
		y[i] = 0.9*x - 3 + 0.25*t/math.Sqrt(float64(df)/float64(df-2))
	}
	return d, y
}

func TestLongTailsAreTold(t *testing.T) {
	if testing.Short() {
		t.Skip("a simulation, which runs without -short")
	}
	const n, runs = 300, 40
	var normal, long float64
	for run := range uint64(runs) {
		rng := rand.New(rand.NewPCG(41, run))
		d, y := shelf(rng, n, n/12, 2.2)
		s, err := Screen(d, y, ScreenOptions{})
		if err != nil {
			t.Fatal(err)
		}
		normal += s.LongTailChance / runs
		d, y = tailedShelf(rng, n, 4)
		if s, err = Screen(d, y, ScreenOptions{}); err != nil {
			t.Fatal(err)
		}
		long += s.LongTailChance / runs
	}
	t.Logf("chance of long tails: %.3f in normal logs, %.3f in long-tailed ones", normal, long)
	if normal > 0.25 || long < 0.75 {
		t.Errorf("chance of long tails %.3f in normal logs, %.3f in long-tailed ones; want below 0.25 and above 0.75", normal, long)
	}
}

// Flags that count the chance of long tails keep their rate where tails are
// long, which those of the likeliest noise do not. The full table is that of
// cmd/calibrate.
func TestCountingLongTailsKeepsTheRate(t *testing.T) {
	if testing.Short() {
		t.Skip("a simulation, which runs without -short")
	}
	const n, runs = 60, 300
	var likeliest, counting float64
	for run := range uint64(runs) {
		d, y := tailedShelf(rand.New(rand.NewPCG(42, run)), n, 5)
		s, err := Screen(d, y, ScreenOptions{})
		if err != nil {
			t.Fatal(err)
		}
		var any, anyCounting bool
		for i, q := range s.QHigh {
			any = any || q <= 0.05
			anyCounting = anyCounting || q <= 0.05 && CountingLongTails(q, s.LongTailed.QHigh[i], s.LongTailChance) <= 0.05
		}
		if any {
			likeliest += 1.0 / runs
		}
		if anyCounting {
			counting += 1.0 / runs
		}
	}
	t.Logf("clean logs with a false flag: %.3f, counting long tails %.3f", likeliest, counting)
	// Three standard errors of the simulation above 0.08.
	if limit := 0.08 + 3*math.Sqrt(0.08*0.92/runs); counting > limit {
		t.Errorf("clean logs with a false flag counting long tails: %.3f, want at most %.3f", counting, limit)
	}
	if counting >= likeliest {
		t.Errorf("counting long tails changes nothing: %.3f and %.3f", counting, likeliest)
	}
}

func TestLikeliestLongTailsAreTheVerdict(t *testing.T) {
	for run := range uint64(40) {
		d, y := tailedShelf(rand.New(rand.NewPCG(43, run)), 200, 3)
		s, err := Screen(d, y, ScreenOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if math.IsInf(s.TailDF, 1) {
			continue
		}
		for i, q := range s.QHigh {
			if q != s.LongTailed.QHigh[i] {
				t.Fatalf("run %d: the likeliest noise has %v degrees of freedom, yet row %d has q %v and %v", run, s.TailDF, i, q, s.LongTailed.QHigh[i])
			}
		}
		return
	}
	t.Error("no log of Student's t with 3 degrees of freedom is taken for long-tailed")
}
