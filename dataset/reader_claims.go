package dataset

import (
	"math"
	"strings"
)

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
