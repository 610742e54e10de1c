// Package pool answers "how much do groups differ beyond chance, and what is each
// group's mean given the others?" by partial pooling: it moves the means of groups
// towards their common mean, the less precise ones further.
//
// The model is a one-way layout with random groups: the true mean of a group is
// drawn about a common mean with a variance between groups, its estimate about the
// true mean with a variance that is given (Means) or estimated from the members of
// the groups (Compare). The sources are cited at Means.
package pool

import (
	"math"

	"pleatstat/stats/num"
)

// Group is the mean of a group and the variance of that mean.
type Group struct {
	Mean     float64
	Variance float64 // > 0
}

// Pooled is a group's mean moved towards the mean of all groups.
type Pooled struct {
	Mean   float64
	SD     float64 // standard error of Mean
	Weight float64 // weight of the group's own mean in Mean, 0 to 1
}

// Result is the result of Means.
type Result struct {
	Groups  []Pooled
	Mean    float64 // precision-weighted mean of the groups
	Between float64 // variance of the true means between groups
	Q       float64 // weighted sum of squares at Between 0 (DerSimonian and Laird 1986); χ² with k-1 degrees of freedom if the groups do not differ
}

// Fewest is the smallest number of groups that can be pooled: below four the factor
// (k-3)/(k-1) is not positive.
const Fewest = 4

// Means moves the means of k groups towards their common mean, the less precise
// ones further: the parametric empirical Bayes method of Morris (1983), Journal of
// the American Statistical Association 78, 47–55, section 5, with the variance
// between groups of Paule and Mandel (1982), Journal of Research of the National
// Bureau of Standards 87, 377–385. With equal variances it is the James–Stein
// estimator of Efron and Morris (1975), Journal of the American Statistical
// Association 70, 311–319. Groups that differ no more than their variances explain
// are moved by the share (k-3)/(k-1) of the way.
//
// Errors: *num.TooFewError below four groups; *num.DomainError for a
// variance that is not positive; *num.NonFiniteError.
func Means(groups []Group) (Result, error) {
	k := len(groups)
	if k < Fewest {
		return Result{}, &num.TooFewError{What: "groups", Have: k, Need: Fewest}
	}
	for i, g := range groups {
		if math.IsNaN(g.Mean) || math.IsInf(g.Mean, 0) {
			return Result{}, &num.NonFiniteError{Column: "mean", Row: i}
		}
		if !(g.Variance > 0) || math.IsInf(g.Variance, 0) {
			return Result{}, &num.DomainError{Name: "variance", Value: g.Variance, Want: "positive"}
		}
	}
	var p Result
	_, p.Q = spread(groups, 0)
	p.Between = betweenGroups(groups)
	p.Mean, _ = spread(groups, p.Between)
	shrunk := float64(k-3) / float64(k-1)
	var weights, variances float64
	for _, g := range groups {
		w := 1 / (g.Variance + p.Between)
		weights += w
		variances += w * g.Variance
	}
	typical := variances / weights
	for _, g := range groups {
		b := shrunk * g.Variance / (g.Variance + p.Between)
		d := g.Mean - p.Mean
		// The last term allows for the estimated variance between groups.
		v := g.Variance*(1-float64(k-1)/float64(k)*b) +
			2/float64(k-3)*b*b*(typical+p.Between)/(g.Variance+p.Between)*d*d
		p.Groups = append(p.Groups, Pooled{Mean: p.Mean + (1-b)*d, SD: math.Sqrt(v), Weight: 1 - b})
	}
	return p, nil
}

// spread returns the mean of the groups weighted by 1/(variance + between) and
// the sum of squares about it in the same weights.
func spread(groups []Group, between float64) (mean, squares float64) {
	var sum, weights float64
	for _, g := range groups {
		w := 1 / (g.Variance + between)
		sum += w * g.Mean
		weights += w
	}
	mean = sum / weights
	for _, g := range groups {
		squares += (g.Mean - mean) * (g.Mean - mean) / (g.Variance + between)
	}
	return mean, squares
}

// betweenGroups returns the variance between groups at which the weighted sum of
// squares equals its expectation k-1 (Paule and Mandel 1982); 0 if the groups differ
// no more than their own variances explain.
func betweenGroups(groups []Group) float64 {
	want := float64(len(groups) - 1)
	if _, q := spread(groups, 0); q <= want {
		return 0
	}
	low, high := 0.0, 1.0
	for {
		if _, q := spread(groups, high); q <= want || math.IsInf(high, 0) {
			break
		}
		high *= 2
	}
	const halvings = 200 // enough to reach adjacent floating-point numbers
	for range halvings {
		mid := (low + high) / 2
		if mid == low || mid == high {
			break
		}
		if _, q := spread(groups, mid); q > want {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
