package pool

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
)

// FewestWithin degrees of freedom tell how much the members of one group differ:
// with five a standard deviation is known within a factor of about two.
const FewestWithin = 5

// Comparison is what Compare finds; slices have one entry a group.
type Comparison struct {
	Result
	Own       []Group   // the groups' own means
	Within    float64   // variance between members of one group
	DF        float64   // degrees of freedom of Within
	P         float64   // that the groups do not differ
	OffP      []float64 // that the group lies on zero or on the common mean, whichever it is nearer
	Low, High []float64 // range of the pooled mean
}

// Compare holds groups against each other by the values of their members, which
// scatter alike in every group. Q is judged by F instead of chi-squared, since the
// variance within groups is estimated.
//
// A group is off both zero and the common mean, which part where a few members
// lie far off; between the two it is off neither.
//
// Errors: *num.TooFewError below Fewest groups and below FewestWithin members
// more than groups; those of Means.
func Compare(members [][]float64, confidence float64) (Comparison, error) {
	k, n, squares := len(members), 0, 0.0
	if k < Fewest {
		return Comparison{}, &num.TooFewError{What: "groups", Have: k, Need: Fewest}
	}
	c := Comparison{Own: make([]Group, k)}
	for i, values := range members {
		m := num.PlainMean(values)
		c.Own[i].Mean = m
		for _, v := range values {
			squares += (v - m) * (v - m)
		}
		n += len(values)
	}
	if n-k < FewestWithin {
		return Comparison{}, &num.TooFewError{What: "members", Have: n, Need: k + FewestWithin}
	}
	c.DF = float64(n - k)
	c.Within = squares / c.DF
	for i, values := range members {
		c.Own[i].Variance = c.Within / float64(len(values))
	}
	var err error
	if c.Result, err = Means(c.Own); err != nil {
		return Comparison{}, err
	}
	c.P = distuv.F{D1: float64(k - 1), D2: c.DF}.Survival(c.Q / float64(k-1))
	half := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: c.DF}.Quantile((1 + confidence) / 2)
	for i, g := range c.Own {
		sd, off := math.Sqrt(g.Variance), g.Mean-c.Mean
		p := math.Max(num.StudentP(g.Mean, sd, c.DF), num.StudentP(off, sd, c.DF))
		if g.Mean*off < 0 {
			p = 1
		}
		c.OffP = append(c.OffP, p)
		m := c.Groups[i]
		c.Low, c.High = append(c.Low, m.Mean-half*m.SD), append(c.High, m.Mean+half*m.SD)
	}
	return c, nil
}
