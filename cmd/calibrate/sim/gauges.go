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

// GaugeOptions are the options of NewGaugeLog. The zero value means 12 makers,
// each with 30 openings of 6 parts in all, over 6 years, and no change.
type GaugeOptions struct {
	Makers int // 0 = 12, negative = a random number from 8 to 40
	// Uneven gives every maker 10 to 50 openings of 3 to 8 parts in place of 30 of
	// 6, and dates that crowd towards the beginning or the end of the log.
	Uneven bool
	Noise  Noise   // "" = Normal
	Drift  float64 // yearly change of the first maker's cans, mm
	Step   float64 // change at once of the first maker's cans, at GaugeTruth.StepAt, mm
	Differ float64 // standard deviation between makers of the logarithm of their scatter
}

// GaugeTruth is what was planted.
type GaugeTruth struct {
	Maker  string  // the maker that changes
	StepAt float64 // years since the first day
}

// GaugeLog is a simulated log of gauges, as the tool reads it and as series for
// the methods of package baseline.
type GaugeLog struct {
	*dataset.Log
	Text   string // the CSV
	Truth  GaugeTruth
	Makers []MakerGauges
}

// MakerGauges holds the readings of one maker, one series for each part.
type MakerGauges struct {
	Name  string
	Parts []num.Series // gauge in mm on years since the first day
	Clean []num.Series // the same without entry errors
}

const (
	Years         = 6     // length of the logs of gauges and of whole filters
	repeatability = 0.006 // mm, standard deviation of one reading
	readingStep   = 0.01  // mm, to which readings are rounded
	errorRate     = 0.02  // share of readings with an entry error
)

// ReadingSD returns the standard deviation, in mm, of one reading about the gauge
// of its part, from repeatability and rounding.
func ReadingSD() float64 { return math.Hypot(repeatability, readingStep/math.Sqrt(12)) }

// firstReading is the first day of the logs of gauges and of whole filters.
var firstReading = time.Date(2019, time.January, 1, 0, 0, 0, 0, time.UTC)

// NewGaugeLog simulates one log. A third of the makers turn to parts with thinner
// walls over the years, so that a line through all their openings falls although
// no part changes.
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
		moving := m%3 == 1 // to parts with thinner walls
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
	csv.NewWriter(&text).WriteAll(lines) // cannot fail: writes to memory
	out.Text = text.String()
	var err error
	out.Log, err = dataset.Read(&text, "gauges.csv", dataset.Options{})
	return out, err
}

// thinnerLater returns the index of a random part, which rises with progress (0
// to 1). Parts with a higher index have thinner walls.
func thinnerLater(rng *rand.Rand, parts int, progress float64) int {
	at := float64(parts) * (0.6*progress + 0.4*rng.Float64())
	return min(parts-1, int(at))
}

// entryError returns the entry error of a reading, in mm: 0 for most readings,
// otherwise 0.03 to 0.2 in either direction.
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
