// Package pool moves the means of groups towards their common mean, the more the
// less each is known (partial pooling), and says how much the groups differ
// beyond what their own scatter explains.
//
// The model is a one-way layout with random groups: a group's true mean is drawn
// about a common one with a variance between groups, its estimate about the true
// mean with a variance of its own, given (Means) or estimated from the scatter of
// the groups' members (Compare). Sources stand at Means.
package pool

import (
	"math"

	"pleatstat/stats/num"
)

// Group is the mean of one group with the variance of that mean.
type Group struct {
	Mean     float64
	Variance float64 // > 0
}

// Pooled is a group's mean moved towards the mean of all groups.
type Pooled struct {
	Mean   float64
	SD     float64 // standard error of Mean
	Weight float64 // share of Mean that is the group's own, 0..1
}

// Result is what Means finds.
type Result struct {
	Groups  []Pooled
	Mean    float64 // precision-weighted mean of the groups
	Between float64 // variance between groups beyond their own
	Q       float64 // sum of squares about the mean weighted without Between (DerSimonian and Laird 1986); chi-squared on k-1 without differences
}

// Fewest groups can be pooled: the factor (k-3)/(k-1) leaves nothing below four.
const Fewest = 4

// Means moves the means of k groups towards their common mean, the more the
// less each is known: parametric empirical Bayes of Morris (1983), Journal of
// the American Statistical Association 78, 47–55, section 5, with the variance
// between groups of Paule and Mandel (1982), Journal of Research of the
// National Bureau of Standards 87, 377–385. With equal variances it is the
// estimator of James and Stein, as Efron and Morris (1975), same journal 70,
// 311–319, use it. Where the groups differ no more than their variances explain
// they are moved nearly all the way: the share (k-3)/(k-1) of it.
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
		// The last term is for the variance between groups being estimated.
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

// betweenGroups is the variance between groups at which the weighted sum of
// squares equals its expectation k-1 (Paule and Mandel 1982); 0 where the
// groups differ less than their own variances explain.
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
	const halvings = 200 // down to the spacing of doubles
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
