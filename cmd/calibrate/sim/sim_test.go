package sim

import (
	"bytes"
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/stat"
)

func TestDemoLogIsTheOneInTheRepository(t *testing.T) {
	var log bytes.Buffer
	truth, err := Workshop(&log, WorkshopOptions{Seed: DemoSeed})
	if err != nil {
		t.Fatal(err)
	}
	text, err := truth.JSON()
	if err != nil {
		t.Fatal(err)
	}
	for name, got := range map[string][]byte{"harbour.csv": log.Bytes(), "truth.json": text} {
		want, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "demo", name))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s is not what the generator writes", name)
		}
	}
}

// A later column must leave every other cell unchanged, and what it draws from
// ofPart must be the same in all openings of a part.
func TestALaterColumnLeavesTheOthers(t *testing.T) {
	write := func(later ...column) [][]string {
		o := WorkshopOptions{Rows: DemoRows, Parts: DemoParts, Seed: DemoSeed}
		r := rand.New(rand.NewPCG(o.Seed, 1))
		w := demoWorkshop(r)
		w.schedule(r, o.Rows)
		w.later = later
		var log bytes.Buffer
		if _, err := w.write(r, &log, o); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(&log).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		return rows
	}
	clips := column{"clips", false, 0.7, func(c *cells) string { return strconv.Itoa(c.ofPart.IntN(6)) }}
	plain, with := write(), write(clips)
	last := len(plain[0])
	of, filled := map[string]string{}, 0
	for i, row := range with {
		if !slices.Equal(row[:last], plain[i]) {
			t.Fatalf("line %d differs: %q and %q", i+1, row, plain[i])
		}
		if v := row[last]; i > 0 && len(v) == 1 && v[0] >= '0' && v[0] <= '5' {
			part := row[1] + row[2]
			if filled++; of[part] != "" && of[part] != v {
				t.Errorf("%s has %s and %s", part, of[part], v)
			}
			of[part] = v
		}
	}
	if filled < DemoRows/2 || filled > DemoRows*9/10 {
		t.Errorf("%d of %d cells are filled", filled, DemoRows)
	}
}

func TestWorkshopWritesWhatItSays(t *testing.T) {
	for _, o := range []WorkshopOptions{{Rows: 300, Parts: 70, Seed: 1}, {Rows: 300, Parts: 70, Seed: 1, Clean: true}, {Rows: 12_000, Parts: 500, Seed: 2, MainColumns: true}} {
		var log bytes.Buffer
		truth, err := Workshop(&log, o)
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(&log).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		header, rows := rows[0], rows[1:]
		parts := map[string]bool{}
		for _, r := range rows {
			parts[r[1]+" "+r[2]] = true
		}
		if len(rows) != o.Rows || len(parts) != o.Parts || truth.Rows != o.Rows || truth.Parts != o.Parts {
			t.Errorf("%+v: %d rows of %d parts; the truth says %d of %d", o, len(rows), len(parts), truth.Rows, truth.Parts)
		}
		if planted := len(truth.Prices) + len(truth.Drift) + len(truth.Errors); (planted == 0) != o.Clean {
			t.Errorf("%+v: %d things planted", o, planted)
		}
		for _, e := range truth.Errors {
			for _, c := range e.Cells {
				if got := rows[e.Line-2][c.Number-1]; got != c.Found || header[c.Number-1] != c.Column {
					t.Errorf("%+v: line %d, column %s reads %q, want %q", o, e.Line, c.Column, got, c.Found)
				}
			}
		}
	}
}

// Deviates must have mean 0 and standard deviation 1, and the skewness and excess
// kurtosis of their distribution: 0 and 0 for the normal, 0 and 6/(ν-4) = 6 for
// Student's t with ν = 5 degrees of freedom, of which only an excess kurtosis
// above 2 is tested, as that of a sample is smaller.
func TestNoise(t *testing.T) {
	for _, n := range []Noise{Normal, LongTailed, EntryErrors, Slips} {
		rng := rand.New(rand.NewPCG(4, 4))
		x := make([]float64, 200_000)
		for i := range x {
			x[i] = n.deviate(rng)
		}
		mean, sd := stat.MeanStdDev(x, nil)
		if math.Abs(mean) > 0.01 || math.Abs(sd-1) > 0.015 {
			t.Errorf("%s: mean %.4f, standard deviation %.4f", n, mean, sd)
		}
		if got := stat.Skew(x, nil); math.Abs(got) > 0.03 && n != LongTailed {
			t.Errorf("%s: skewness %.3f, want 0", n, got)
		}
		if long := stat.ExKurtosis(x, nil) > 2; long != (n == LongTailed) {
			t.Errorf("%s: excess kurtosis %.2f", n, stat.ExKurtosis(x, nil))
		}
	}
}

func TestGaugeLogHoldsWhatWasPlanted(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	var before, after []float64
	wrong, readings := 0, 0
	for range 60 {
		log, err := NewGaugeLog(GaugeOptions{Step: -0.04, Noise: EntryErrors}, rng)
		if err != nil {
			t.Fatal(err)
		}
		if got := log.Rows(); got != 12*30 || len(log.Makers) != 12 {
			t.Fatalf("%d rows of %d makers", got, len(log.Makers))
		}
		for part, s := range log.Makers[0].Clean {
			for i, y := range s.Y {
				off := y - (0.55 - 0.03*float64(part))
				if s.T[i] < log.Truth.StepAt {
					before = append(before, off)
				} else {
					after = append(after, off)
				}
			}
		}
		for _, m := range log.Makers {
			for part := range m.Parts {
				for i, y := range m.Parts[part].Y {
					readings++
					if math.Abs(y-m.Clean[part].Y[i]) > 0.015 {
						wrong++
					}
				}
			}
		}
	}
	// Four standard errors.
	if step := stat.Mean(after, nil) - stat.Mean(before, nil); math.Abs(step+0.04) > 0.002 {
		t.Errorf("a step of %.4f mm, want -0.04", step)
	}
	if got := stat.StdDev(before, nil); math.Abs(got-ReadingSD()) > 0.0006 {
		t.Errorf("readings scatter by %.4f mm, want %.4f", got, ReadingSD())
	}
	if share := float64(wrong) / float64(readings); math.Abs(share-errorRate) > 0.004 {
		t.Errorf("%.4f of the readings are entered wrongly, want %.2f", share, errorRate)
	}
}

func TestEqualSeedsGiveEqualBytes(t *testing.T) {
	o := MarketOptions{Rows: 50, Blanks: 0.3, Overpriced: 0.1, Matter: true, Seed: 9}
	if a, b := NewMarket(o), NewMarket(o); !bytes.Equal(a.CSV, b.CSV) {
		t.Error("two markets of one seed differ")
	}
	a, errA := NewGaugeLog(GaugeOptions{Uneven: true}, rand.New(rand.NewPCG(1, 1)))
	b, errB := NewGaugeLog(GaugeOptions{Uneven: true}, rand.New(rand.NewPCG(1, 1)))
	if errA != nil || errB != nil || a.Text != b.Text {
		t.Errorf("two gauge logs of one seed differ: %v, %v", errA, errB)
	}
}
