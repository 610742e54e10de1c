package sim

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/num"
)

// GaugeOptions say what gauges to simulate; the zero value means 12 makers, 30
// openings each of 6 parts over 6 years, and no drift.
type GaugeOptions struct {
	Makers int // 0 = 12, negative = between 8 and 40
	// Uneven gives every maker 10 to 50 openings of 3 to 8 parts instead of 30
	// of 6, and dates that bunch in some years.
	Uneven bool
	Noise  Noise   // "" = Normal
	Drift  float64 // mm a year by which the first maker's cans change, from the first day on
	Step   float64 // mm by which they change at once, at GaugeTruth.StepAt
	Differ float64 // makers' scatter differs by this factor (standard deviation of its logarithm)
}

// GaugeTruth is what was planted.
type GaugeTruth struct {
	Maker  string  // the one that changes
	StepAt float64 // years since the first day
}

// GaugeLog is a log of gauges: as the tool reads it, and as the methods that it
// is compared with take it.
type GaugeLog struct {
	*dataset.Log
	Text   string // the CSV
	Truth  GaugeTruth
	Makers []MakerGauges
}

// MakerGauges are the readings of one maker, one series a part.
type MakerGauges struct {
	Name  string
	Parts []num.Series // gauge in mm on years since the first day
	Clean []num.Series // the same without entry errors
}

const (
	Years         = 6     // of every log of gauges or of whole filters
	repeatability = 0.006 // mm, standard deviation of one reading
	readingStep   = 0.01  // mm
	errorRate     = 0.02
)

// ReadingSD is the standard deviation in mm of one logged value about the
// part's gauge: repeatability and rounding.
func ReadingSD() float64 { return math.Hypot(repeatability, readingStep/math.Sqrt(12)) }

// firstReading is the first day of those logs.
var firstReading = time.Date(2019, time.January, 1, 0, 0, 0, 0, time.UTC)

// NewGaugeLog makes one log. A third of the makers move to thinner-walled sizes
// over the years, so that a line through all their openings falls although no
// part changes.
func NewGaugeLog(o GaugeOptions, rng *rand.Rand) (*GaugeLog, error) {
	makers := o.Makers
	switch {
	case makers == 0:
		makers = 12
	case makers < 0:
		makers = 8 + rng.IntN(33)
	}
	out := &GaugeLog{Truth: GaugeTruth{Maker: MakerName(0), StepAt: 1.5 + 3*rng.Float64()}}
	lines := [][]string{{"opened", "maker", "part", "can_gauge_mm"}}
	for m := range makers {
		n, parts, bunch := 30, 6, 1.0
		if o.Uneven {
			n, parts, bunch = 10+rng.IntN(41), 3+rng.IntN(6), 0.5+1.5*rng.Float64()
		}
		moving := m%3 == 1 // to thinner sizes
		scatter := math.Exp(o.Differ * rng.NormFloat64())
		k := MakerGauges{Name: MakerName(m), Parts: make([]num.Series, parts), Clean: make([]num.Series, parts)}
		for i := range n {
			day := math.Floor(365.25 * Years * math.Pow(rng.Float64(), bunch))
			at := firstReading.AddDate(0, 0, int(day))
			t := day / 365.25
			part := i % parts
			if o.Uneven {
				part = rng.IntN(parts)
			}
			if moving {
				part = thinnerLater(rng, parts, t/Years)
			}
			gauge := 0.55 - 0.03*float64(part)
			if m == 0 {
				gauge += o.Drift * t
				if t >= out.Truth.StepAt {
					gauge += o.Step
				}
			}
			reading := repeatability * o.Noise.deviate(rng)
			wrong := o.Noise.entryError(rng)
			clean := rounded(gauge + scatter*reading)
			value := rounded(gauge + scatter*reading + wrong)
			k.Clean[part] = appended(k.Clean[part], t, clean)
			k.Parts[part] = appended(k.Parts[part], t, value)
			lines = append(lines, []string{at.Format(time.DateOnly), k.Name, fmt.Sprintf("%c-%02d", k.Name[0], part+1), strconv.FormatFloat(value, 'f', 2, 64)})
		}
		out.Makers = append(out.Makers, k)
	}
	var text bytes.Buffer
	csv.NewWriter(&text).WriteAll(lines) // to memory: cannot fail
	out.Text = text.String()
	var err error
	out.Log, err = dataset.Read(&text, "gauges.csv", dataset.Options{})
	return out, err
}

// thinnerLater draws a part that is the thinner the later: part numbers rise as the
// wall gets thinner.
func thinnerLater(rng *rand.Rand, parts int, progress float64) int {
	at := float64(parts) * (0.6*progress + 0.4*rng.Float64())
	return min(parts-1, int(at))
}

// entryError is how far a reading is off because it was entered wrongly, in mm:
// mostly not at all, otherwise by 0.03 to 0.2 either way.
func (n Noise) entryError(rng *rand.Rand) float64 {
	if n != EntryErrors || rng.Float64() >= errorRate {
		return 0
	}
	off := 0.03 + 0.17*rng.Float64()
	if rng.IntN(2) == 0 {
		return -off
	}
	return off
}

func rounded(v float64) float64 { return math.Max(readingStep, readingStep*math.Round(v/readingStep)) }

func appended(s num.Series, t, y float64) num.Series {
	return num.Series{T: append(s.T, t), Y: append(s.Y, y)}
}
