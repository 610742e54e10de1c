package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/slip"
)

const (
	// ManyRepeats is the least number of cells with several readings from which
	// the column's usual spread is estimated; with fewer, one odd cell would make
	// most of it.
	ManyRepeats = 8

	// BeyondSpread and LeastSpread: readings of one thing are reported when their
	// standard deviation exceeds BeyondSpread times the column's usual one and
	// LeastSpread times their mean. A smaller spread is not worth measuring again.
	BeyondSpread = 6.0
	LeastSpread  = 0.03

	// WildSpread is the relative standard deviation that is reported whatever the
	// column's usual spread: a thing read twice with any caliper, balance or tape
	// does not differ by a seventh. Common practice, no source.
	WildSpread = 0.15

	// ImpossibleRatio: of two readings of one thing that differ by this factor one
	// is wrong, and their mean describes neither.
	ImpossibleRatio = 2.0
)

// spreadReadings reports cells whose readings of the same thing lie far apart.
func spreadReadings(t *table, f *findings) {
	for _, m := range t.have {
		repeats := t.log.Repeats(m.column())
		usual := usualSpread(repeats)
		if m.kind() == catalogue.KindCount {
			usual = max(usual, m.facts().Step/BeyondSpread) // one miscount is not a slip
		}
		for _, r := range repeats {
			mean := t.value[m][r.Row]
			relative := r.SD / mean
			if relative > WildSpread || relative > LeastSpread && len(repeats) >= ManyRepeats && r.SD > BeyondSpread*usual {
				t.reportSpread(m, r.Row, usual, len(repeats), f)
			}
		}
	}
}

// usualSpread returns the pooled standard deviation of repeated readings without
// the widest tenth of the cells.
func usualSpread(repeats []dataset.Repeat) float64 {
	sorted := slices.Clone(repeats)
	slices.SortFunc(sorted, func(a, b dataset.Repeat) int { return cmp.Compare(a.SD, b.SD) })
	var squares, freedom float64
	for _, r := range sorted[:len(sorted)-(len(sorted)+9)/10] {
		squares += float64(r.N-1) * r.SD * r.SD
		freedom += float64(r.N - 1)
	}
	if freedom == 0 {
		return 0
	}
	return math.Sqrt(squares / freedom)
}

// reportSpread reports one such cell. Where a single reading is off, the mean of the
// others replaces the cell in the working copy.
func (t *table) reportSpread(m measure, i int, usual float64, cells int, f *findings) {
	cell, ok := t.log.Cell(i, m.column())
	if !ok || len(cell.Readings) < 2 {
		return
	}
	low, high := slices.Min(cell.Readings), slices.Max(cell.Readings)
	message := fmt.Sprintf("readings of one thing lie between %s and %s", t.show(m, low), t.show(m, high))
	if cells >= ManyRepeats && usual > 0 {
		message += fmt.Sprintf("; they usually repeat to %s here", t.fine(m, usual))
	}
	t.value[m][i] = math.NaN()
	if k, others, s := oddReading(cell.Readings, m, t.unitOf(cell, m)); k >= 0 {
		t.value[m][i] = others
		if s != nil {
			if intended, ok := t.readingMeant(cell, m, k, s); ok {
				message += "; " + intended + " fits"
				f.suggest(i, m.column(), intended, message, s.Kind, true)
			}
		}
	}
	if high > ImpossibleRatio*low {
		f.aside(i, m.column())
		message += "; left out of the fits"
	}
	f.at(i, m.column(), dataset.Doubtful, message)
}

// oddReading finds the one reading that is off while the others agree. It returns
// its index (−1 for none), the mean of the others and the slip that explains it,
// if one does.
func oddReading(readings []float64, m measure, unit string) (odd int, others float64, of *slip.Slip) {
	const agree = 0.1 // log of the ratio
	for k, v := range readings {
		rest := slices.Delete(slices.Clone(readings), k, k+1)
		low, high := slices.Min(rest), slices.Max(rest)
		if !(math.Log(high/low) < agree) {
			continue
		}
		mean := (low + high) / 2
		for _, s := range slip.Of(m.kind(), unit) {
			if math.Abs(math.Log(s.Right(v)/mean)) < agree {
				// With two readings either could be off: take the one outside the
				// usual range of such parts.
				if len(readings) > 2 || !plausible(m, v) && plausible(m, mean) {
					return k, mean, &s
				}
			}
		}
		if len(readings) > 2 && math.Abs(math.Log(v/mean)) > agree {
			return k, mean, nil
		}
	}
	return -1, 0, nil
}

// plausible reports whether a reading lies within gate spreads of the usual
// middle of such parts.
func plausible(m measure, v float64) bool {
	u := m.facts().Usual
	return u.Spread == 0 || math.Abs(math.Log(v/u.Middle)) < gate*u.Spread
}

// readingMeant returns the cell's text with its k-th reading corrected.
func (t *table) readingMeant(cell dataset.Cell, m measure, k int, s *slip.Slip) (string, bool) {
	pieces := strings.Split(cell.Text, ";")
	if len(pieces) != len(cell.Readings) {
		return "", false
	}
	piece := cell
	piece.Text = strings.TrimSpace(pieces[k])
	piece.Value, piece.Readings = cell.Readings[k], cell.Readings[k:k+1]
	lead := pieces[k][:len(pieces[k])-len(strings.TrimLeft(pieces[k], " "))]
	pieces[k] = lead + t.without(s, piece, m, s.Right(piece.Value))
	return strings.Join(pieces, ";"), true
}
