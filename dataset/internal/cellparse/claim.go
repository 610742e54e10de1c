package cellparse

import (
	"math"
	"regexp"
	"strings"
)

// Claim is an efficiency as claimed on the box. An efficiency is meaningless
// without the particle size for which it is claimed.
type Claim struct {
	Efficiency   float64 // percent
	ParticleSize float64 // µm; NaN if the claim names none
	AtLeast      bool    // ">99", "99+"
	Beta         bool    // written as a beta ratio, which the multi-pass test defines
}

// The notations of a claim other than a plain number.
var (
	percentClaim = regexp.MustCompile(`^(≥|>=?|min\.?|at least|over)?\s*(\d+(?:[.,]\d+)?)\s*(%|percent)?\s*(\+|min\.?)?\s*(%)?\s*(?:(?:@|at|for|/|,)\s*(?:≥|>=?)?\s*(\d+(?:[.,]\d+)?)\s*(?:µ|μ|u|micron|micrometre|micrometer)?(?:m|s|\(c\))*)?$`)
	betaClaim    = regexp.MustCompile(`^(?:β|beta|ß|b)\s*[\[_(]?\s*(\d+(?:[.,]\d+)?)?\s*(?:µm|μm|um)?\s*(?:\(c\))?[\])]?\s*(=|≥|>=?|:|\s)\s*(\d+(?:[.,]\d+)?)(?:\s*(?:@|at)\s*(\d+(?:[.,]\d+)?)\s*(?:µm|μm|um)?)?$`)
)

// ParseClaim parses a claim: 99, 99 %, >99, 99+, 99 % @ 20 µm, β20=75, β20(c) ≥
// 200. A beta ratio β is an efficiency of 1 − 1/β at its particle size (ISO
// 16889, ISO 4548-12). ok is false for any other text, for an efficiency above
// 100 % and for a ratio below 1. percent reports whether the notation leaves no
// doubt that the value is in percent: it names percent or is a beta ratio.
func ParseClaim(text string) (k Claim, percent, ok bool) {
	s := strings.ToLower(strings.TrimSpace(text))
	if m := betaClaim.FindStringSubmatch(s); m != nil {
		ratio := decimal(m[3])
		k = Claim{Efficiency: 100 * (1 - 1/ratio), ParticleSize: decimal(m[1]), AtLeast: m[2] != "=" && m[2] != ":" && strings.TrimSpace(m[2]) != "", Beta: true}
		if math.IsNaN(k.ParticleSize) {
			k.ParticleSize = decimal(m[4])
		}
		return k, true, ratio >= 1
	}
	m := percentClaim.FindStringSubmatch(s)
	if m == nil {
		return Claim{}, false, false
	}
	k = Claim{Efficiency: decimal(m[2]), ParticleSize: decimal(m[6]), AtLeast: m[1] != "" || m[4] != ""}
	return k, m[3] != "" || m[5] != "", k.Efficiency <= 100
}
