package pool

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
)

// FewestWithin is the smallest number of degrees of freedom within groups: with
// five, a standard deviation is known to within a factor of about two.
const FewestWithin = 5

// Comparison is the result of Compare; slices have one entry per group.
type Comparison struct {
	Result
	Own       []Group   // the groups' own means
	Within    float64   // variance between members of a group
	DF        float64   // degrees of freedom of Within
	P         float64   // p-value of the groups not differing
	OffP      []float64 // larger of the p-values of the group's mean being zero or the common mean
	Low, High []float64 // confidence interval of the pooled mean
}

// Within returns the variance between members of a group, pooled over groups, and
// its degrees of freedom; groups without members are left out. The variance is NaN
// without degrees of freedom.
func Within(members [][]float64) (variance, df float64) {
	squares := 0.0
	for _, values := range members {
		if len(values) == 0 {
			continue
		}
		m := num.PlainMean(values)
		for _, v := range values {
			squares += (v - m) * (v - m)
		}
		df += float64(len(values) - 1)
	}
	return squares / df, df // NaN for 0/0
}

// Compare compares groups by the values of their members, whose variance is assumed
// to be the same in every group. Since that variance is estimated, Q/(k-1) is
// compared with F instead of Q with χ².
//
// OffP is small only for a group that differs from both zero and the common mean,
// as a few far-off groups can move the common mean away from zero. For a group
// between the two it is 1.
//
// Errors: *num.TooFewError for fewer than Fewest groups, or fewer than FewestWithin
// members more than groups; those of Means.
func Compare(members [][]float64, confidence float64) (Comparison, error) {
	k := len(members)
	if k < Fewest {
		return Comparison{}, &num.TooFewError{What: "groups", Have: k, Need: Fewest}
	}
	c := Comparison{Own: make([]Group, k)}
	if c.Within, c.DF = Within(members); c.DF < FewestWithin {
		return Comparison{}, &num.TooFewError{What: "members", Have: k + int(c.DF), Need: k + FewestWithin}
	}
	for i, values := range members {
		c.Own[i] = Group{Mean: num.PlainMean(values), Variance: c.Within / float64(len(values))}
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
