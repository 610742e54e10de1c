package reader

import (
	"math"
	"strings"

	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/cells"
	"pleatstat/dataset/internal/problem"
)

// Claims collects the efficiency claims that state more than a number.
type Claims struct {
	ByRow  map[int32]cellparse.Claim
	seen   map[string]reading // results by cell text
	Unread problem.Unread
}

type reading struct {
	claim       cellparse.Claim
	percent, ok bool
}

// claim reads an efficiency that is more than a number. A cell that cannot be
// read stays a text.
func (p *Pass) claim(c *cells.Column, text string, row int32, line int) float64 {
	k := &p.Claims
	got, known := k.seen[text]
	if !known {
		got.claim, got.percent, got.ok = cellparse.ParseClaim(text)
		if k.seen == nil {
			k.seen, k.ByRow = map[string]reading{}, map[int32]cellparse.Claim{}
		}
		if len(k.seen) < maxWays {
			k.seen[strings.Clone(text)] = got
		}
	}
	if !got.ok {
		c.Bad++
		k.Unread.Add(line, text)
		return math.NaN()
	}
	k.ByRow[row] = got.claim
	if got.percent {
		c.Own = append(c.Own, row)
	} else {
		c.Other++
	}
	return got.claim.Efficiency
}
