package pool

import (
	"errors"
	"math"
	"testing"

	"pleatstat/stats/num"
)

// Resistivity of a silicon wafer on five instruments, five readings each: NIST
// StRD, analysis of variance, data set SiRstv, with its certified F and sums of
// squares (from memory). For groups of equal size, Q over its degrees of freedom is
// that F.
func TestCompareOnCertifiedReadings(t *testing.T) {
	c, err := Compare([][]float64{
		{196.3052, 196.1240, 196.1890, 196.2569, 196.3403},
		{196.3042, 196.3825, 196.1669, 196.3257, 196.0422},
		{196.1303, 196.2005, 196.2889, 196.0343, 196.1811},
		{196.2795, 196.1748, 196.1494, 196.1485, 195.9885},
		{196.2119, 196.1051, 196.1850, 196.0052, 196.2090},
	}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	if f := c.Q / 4; math.Abs(f-1.18046237440255) > 1e-9 {
		t.Errorf("F %.12f", f)
	}
	if squares := c.Within * c.DF; c.DF != 20 || math.Abs(squares-0.216636560000000) > 1e-12 {
		t.Errorf("sum of squares within groups %.12f on %g", squares, c.DF)
	}
	if c.P < 0.34 || c.P > 0.36 { // F(4, 20) = 1.18
		t.Errorf("p %g", c.P)
	}
	for i, p := range c.OffP {
		if c.Low[i] > c.Groups[i].Mean || c.Groups[i].Mean > c.High[i] || p < 0 || p > 1 {
			t.Errorf("group %d: %g in %g to %g, p %g", i, c.Groups[i].Mean, c.Low[i], c.High[i], p)
		}
	}
}

// Compare needs at least 4 groups and 5 members more than groups.
func TestCompareRules(t *testing.T) {
	for _, c := range []struct {
		groups, members int
		tooFew          bool
	}{{3, 12, true}, {4, 12, false}, {4, 8, true}, {4, 9, false}} {
		members := make([][]float64, c.groups)
		for i := range c.members {
			members[i%c.groups] = append(members[i%c.groups], float64(i*i%7))
		}
		_, err := Compare(members, 0.95)
		var few *num.TooFewError
		if errors.As(err, &few) != c.tooFew {
			t.Errorf("%d members of %d groups: %v", c.members, c.groups, err)
		}
	}
}

// OffP is 1 for a group between zero and the common mean; for a group beyond both
// it is the p-value of the nearer.
func TestOffBothLines(t *testing.T) {
	spread := func(m float64) []float64 { return []float64{m - 0.1, m, m + 0.1} }
	c, err := Compare([][]float64{spread(0.5), spread(1.0), spread(1.0), spread(3.0), spread(-2)}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	if c.Mean < 0.55 || c.Mean > 0.95 {
		t.Fatalf("the common mean is %g", c.Mean)
	}
	sd := math.Sqrt(c.Within / 3)
	if c.OffP[0] != 1 {
		t.Errorf("between zero and the mean: p %g", c.OffP[0])
	}
	if want := num.StudentP(1-c.Mean, sd, c.DF); c.OffP[1] != want {
		t.Errorf("beyond the mean: p %g, want %g", c.OffP[1], want)
	}
	if want := num.StudentP(-2, sd, c.DF); c.OffP[4] != want {
		t.Errorf("below zero: p %g, want %g", c.OffP[4], want)
	}
}
