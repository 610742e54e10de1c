package dataset

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Claim is an efficiency as the box claims it. An efficiency means nothing
// without the particle size it holds for.
type Claim struct {
	Efficiency   float64 // percent
	ParticleSize float64 // µm; NaN where the claim names none
	AtLeast      bool    // ">99", "99+"
	Beta         bool    // written as a beta ratio, which the multi-pass test defines
}

const (
	claimColumn   = "claimed_efficiency"
	multiPassTest = "multi-pass"
)

// Ways a claim is written beside a plain number.
var (
	percentClaim = regexp.MustCompile(`^(≥|>=?|min\.?|at least|over)?\s*(\d+(?:[.,]\d+)?)\s*(%|percent)?\s*(\+|min\.?)?\s*(%)?\s*(?:(?:@|at|for|/|,)\s*(?:≥|>=?)?\s*(\d+(?:[.,]\d+)?)\s*(?:µ|μ|u|micron|micrometre|micrometer)?(?:m|s|\(c\))*)?$`)
	betaClaim    = regexp.MustCompile(`^(?:β|beta|ß|b)\s*[\[_(]?\s*(\d+(?:[.,]\d+)?)?\s*(?:µm|μm|um)?\s*(?:\(c\))?[\])]?\s*(=|≥|>=?|:|\s)\s*(\d+(?:[.,]\d+)?)(?:\s*(?:@|at)\s*(\d+(?:[.,]\d+)?)\s*(?:µm|μm|um)?)?$`)
)

// readClaim reads a claim: 99, 99 %, >99, 99+, 99 % @ 20 µm, β20=75,
// β20(c) ≥ 200. A beta ratio β is an efficiency of 1 − 1/β at its size (ISO
// 16889, ISO 4548-12). It is false for what is none of these, and for an
// efficiency above 100 % or a ratio below 1. It also says whether the cell names
// its percent.
func readClaim(text string) (k Claim, percent, ok bool) {
	s := strings.ToLower(strings.TrimSpace(text))
	value := func(s string) float64 {
		v, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
		if err != nil {
			return math.NaN()
		}
		return v
	}
	if m := betaClaim.FindStringSubmatch(s); m != nil {
		ratio := value(m[3])
		k = Claim{Efficiency: 100 * (1 - 1/ratio), ParticleSize: value(m[1]), AtLeast: m[2] != "=" && m[2] != ":" && strings.TrimSpace(m[2]) != "", Beta: true}
		if math.IsNaN(k.ParticleSize) {
			k.ParticleSize = value(m[4])
		}
		return k, true, ratio >= 1
	}
	m := percentClaim.FindStringSubmatch(s)
	if m == nil {
		return Claim{}, false, false
	}
	k = Claim{Efficiency: value(m[2]), ParticleSize: value(m[6]), AtLeast: m[1] != "" || m[4] != ""}
	return k, m[3] != "" || m[5] != "", k.Efficiency <= 100
}

// claims gathers what the efficiencies of a log say beside a number.
type claims struct {
	byRow  map[int32]Claim
	seen   map[string]reading // claims read so far
	unread unread
}

type reading struct {
	claim       Claim
	percent, ok bool
}

// unread counts texts of one column that cannot be read.
type unread struct {
	cells int
	line  int // of the first
	text  string
}

func (u *unread) add(line int, text string) {
	if u.cells++; u.cells == 1 {
		u.line, u.text = line, shorten(text)
	}
}

// claim reads an efficiency that is more than a number. What cannot be read
// stays text.
func (p *pass) claim(c *column, text string, row int32, line int) float64 {
	k := &p.claims
	got, known := k.seen[text]
	if !known {
		got.claim, got.percent, got.ok = readClaim(text)
		if k.seen == nil {
			k.seen, k.byRow = map[string]reading{}, map[int32]Claim{}
		}
		if len(k.seen) < maxWays {
			k.seen[strings.Clone(text)] = got
		}
	}
	if !got.ok {
		c.bad++
		k.unread.add(line, text)
		return math.NaN()
	}
	k.byRow[row] = got.claim
	if got.percent {
		c.own = append(c.own, row)
	} else {
		c.other++
	}
	return got.claim.Efficiency
}

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
