package dataset

import (
	"fmt"
	"maps"
	"math"
	"slices"
)

// readClaims keeps the claims of a log and says what is odd about them, once.
func (l *Log) readClaims(p *pass) {
	l.claims = p.claims.byRow
	c := l.byName[claimColumn]
	if c == nil {
		return
	}
	note := func(text, message string) {
		l.problem(Problem{Line: l.layout.line, Column: c.field + 1, Name: c.name, Text: text, Message: message, Severity: Note})
	}
	if u := p.claims.unread; u.cells > 0 {
		note(u.text, fmt.Sprintf("%s no efficiency that can be read and stay text, the first in line %d; write 99, 99 %% @ 20 µm, >99 or β20=75", cellsAre(u.cells), u.line))
	}
	whole, first := 0, 0
	for row, v := range c.num {
		if v == 100 {
			if whole++; whole == 1 {
				first = row
			}
		}
	}
	if whole > 0 {
		note("", fmt.Sprintf("%s 100 %%, the first in line %d: kept as claimed, but it has no finite beta ratio, and no test shows it", cellsClaim(whole), l.lines[first]))
	}
	l.otherSizes()
}

func cellsAre(n int) string {
	if n == 1 {
		return "one cell is"
	}
	return fmt.Sprintf("%d cells are", n)
}

func cellsClaim(n int) string {
	if n == 1 {
		return "one cell claims"
	}
	return fmt.Sprintf("%d cells claim", n)
}

// otherSizes reports claims that name another particle size than the column of
// that name.
func (l *Log) otherSizes() {
	size := l.byName["claimed_particle_size"]
	if size == nil {
		return
	}
	for _, row := range slices.Sorted(maps.Keys(l.claims)) {
		k := l.claims[row]
		if logged := size.num[row]; logged > 0 && k.ParticleSize > 0 && math.Abs(logged-k.ParticleSize) > 0.05 {
			l.problem(Problem{Line: int(l.lines[row]), Column: size.field + 1, Name: size.name, Text: fmt.Sprintf("%g", logged), Severity: Doubtful,
				Message: fmt.Sprintf("the claim itself names %g µm; this column counts", k.ParticleSize)})
		}
	}
}

// Claim returns what the box of an opening claims; false where nothing is
// claimed or it cannot be read.
func (l *Log) Claim(row int) (Claim, bool) {
	c := l.byName[claimColumn]
	if c == nil || row < 0 || row >= len(c.num) || math.IsNaN(c.at(row)) {
		return Claim{}, false
	}
	k, more := l.claims[int32(row)]
	if !more {
		k.ParticleSize = math.NaN()
	}
	k.Efficiency = c.at(row)
	if size := l.find("claimed_particle_size"); size != nil {
		k.ParticleSize = size.at(row)
	}
	return k, true
}
