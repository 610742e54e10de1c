package dataset

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/reader"
)

// Claim is an efficiency as claimed on the box.
type Claim = cellparse.Claim

// readClaims stores the efficiency claims of a log and reports unusual ones in
// one note of each kind.
func (l *Log) readClaims(p *reader.Pass) {
	l.claims = p.Claims.ByRow
	c := l.byName[catalogue.ClaimColumn]
	if c == nil {
		return
	}
	note := func(text, message string) {
		l.report(c, l.layout.Line, text, Note, message)
	}
	if u := p.Claims.Unread; u.Cells > 0 {
		note(u.Text, fmt.Sprintf("%s no efficiency that can be read and stay text, the first in line %d; write 99, 99 %% @ 20 µm, >99 or β20=75", cellsThat(u.Cells, "is", "are"), u.Line))
	}
	whole, first := 0, 0
	for row, v := range c.Num {
		if v == 100 {
			if whole++; whole == 1 {
				first = row
			}
		}
	}
	if whole > 0 {
		note("", fmt.Sprintf("%s 100 %%, the first in line %d: kept as claimed, but it has no finite beta ratio, and no test shows it", cellsThat(whole, "claims", "claim"), l.lines[first]))
	}
	l.otherSizes()
}

// cellsThat returns the beginning of a sentence about n cells.
func cellsThat(n int, one, several string) string {
	if n == 1 {
		return "one cell " + one
	}
	return fmt.Sprintf("%d cells %s", n, several)
}

// otherSizes reports claims whose own particle size differs from the one in
// column claimed_particle_size.
func (l *Log) otherSizes() {
	size := l.byName["claimed_particle_size"]
	if size == nil {
		return
	}
	for _, row := range slices.Sorted(maps.Keys(l.claims)) {
		k := l.claims[row]
		if logged := size.Num[row]; logged > 0 && k.ParticleSize > 0 && math.Abs(logged-k.ParticleSize) > 0.05 {
			l.report(size, int(l.lines[row]), fmt.Sprintf("%g", logged), Doubtful, fmt.Sprintf("the claim itself names %g µm; this column counts", k.ParticleSize))
		}
	}
}

// Claim returns the efficiency claimed for an opening. It is false where the
// cell is blank or cannot be read.
func (l *Log) Claim(row int) (Claim, bool) {
	c := l.byName[catalogue.ClaimColumn]
	if c == nil || row < 0 || row >= len(c.Num) || math.IsNaN(c.At(row)) {
		return Claim{}, false
	}
	k, more := l.claims[int32(row)]
	if !more {
		k.ParticleSize = math.NaN()
	}
	k.Efficiency = c.At(row)
	if size := l.find("claimed_particle_size"); size != nil {
		k.ParticleSize = size.At(row)
	}
	return k, true
}
