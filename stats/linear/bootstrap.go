package linear

import (
	"math"
	"math/rand/v2"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"
	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
)

const (
	defaultReplicates = 2000 // enough for 95 % limits: Efron and Tibshirani (1993), p. 275
	defaultConfidence = 0.95

	// bootBlock is the number of replicates drawn from one generator. The work is
	// split by blocks, so the draws do not depend on the number of cores.
	bootBlock = 64

	// bootFewest is the number of rows from which a resample can differ enough.
	bootFewest = 5

	// jackknifeGroups bounds the leave-out fits: with more rows than this, whole
	// groups of rows are left out. The acceleration depends on sums over rows
	// only and stays the same but for sampling error.
	jackknifeGroups = 400

	// bootUndefined is the share of replicates that may lack a value (a resample
	// can repeat one row throughout) before the range is refused.
	bootUndefined = 0.05
)

// BootOptions sets up a bootstrap. Zero fields mean: 2000 replicates, 95 %,
// seed 0.
type BootOptions struct {
	Replicates int
	Confidence float64
	Seed       uint64
}

// BCa returns the bias-corrected and accelerated bootstrap range of a statistic
// of n rows: Efron (1987), JASA 82, 171-185; Efron and Tibshirani (1993), An
// Introduction to the Bootstrap, section 14.3. The bias correction takes the
// share of replicates below the estimate, the acceleration comes from the
// jackknife, a limit is the smallest replicate whose cumulative share reaches
// the level.
//
// statistic gets row numbers: all n in order, n drawn with replacement, or all
// but one (but one group of rows above 400). It must not change them, must be
// safe for concurrent calls, and returns NaN where it has no value.
//
// Errors: *TooFewError below 5 rows, or where more than 5 % of the replicates
// (or any leave-out) have no value; *DomainError for options; ErrOverflow where
// the statistic of all rows is not finite.
func BCa(n int, statistic func(rows []int) float64, o BootOptions) (low, high float64, err error) {
	nan := math.NaN()
	if o.Replicates == 0 {
		o.Replicates = defaultReplicates
	}
	if o.Confidence == 0 {
		o.Confidence = defaultConfidence
	}
	switch {
	case o.Replicates < 100:
		return nan, nan, &num.DomainError{Name: "replicates", Value: float64(o.Replicates), Want: "at least 100"}
	case !(o.Confidence > 0 && o.Confidence < 1):
		return nan, nan, &num.DomainError{Name: "confidence", Value: o.Confidence, Want: "between 0 and 1"}
	case n < bootFewest:
		return nan, nan, &num.TooFewError{What: "rows", Have: n, Need: bootFewest}
	}
	estimate := statistic(num.AllRows(n))
	if !num.AllFinite([]float64{estimate}) {
		return nan, nan, num.ErrOverflow
	}
	replicates := resample(n, statistic, o)
	if need := int(math.Ceil((1 - bootUndefined) * float64(o.Replicates))); len(replicates) < need {
		return nan, nan, &num.TooFewError{What: "replicates with a value", Have: len(replicates), Need: need}
	}
	left := leaveOut(n, statistic)
	if i := num.FirstNonFinite(left); i >= 0 {
		return nan, nan, &num.TooFewError{What: "rows", Have: n, Need: n + 1}
	}
	slices.Sort(replicates)
	below, _ := slices.BinarySearch(replicates, estimate)
	bias := biasCorrection(below, len(replicates))
	acceleration := accelerationOf(left)
	tail := (1 - o.Confidence) / 2
	low = replicates[rankOf(adjusted(tail, bias, acceleration), len(replicates))]
	high = replicates[rankOf(adjusted(1-tail, bias, acceleration), len(replicates))]
	return low, high, nil
}

// resample returns the finite values of the statistic over resamples, in an
// order that depends on the seed alone.
func resample(n int, statistic func([]int) float64, o BootOptions) []float64 {
	values := make([]float64, o.Replicates)
	var group errgroup.Group
	group.SetLimit(runtime.GOMAXPROCS(0))
	for start := 0; start < o.Replicates; start += bootBlock {
		group.Go(func() error {
			rng := rand.New(rand.NewPCG(o.Seed, uint64(start/bootBlock)))
			rows := make([]int, n)
			for k := start; k < min(start+bootBlock, o.Replicates); k++ {
				for i := range rows {
					rows[i] = rng.IntN(n)
				}
				values[k] = statistic(rows)
			}
			return nil
		})
	}
	_ = group.Wait() // no block returns an error
	return slices.DeleteFunc(values, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) })
}

// leaveOut returns the statistic without each row, or without each of
// jackknifeGroups groups of rows.
func leaveOut(n int, statistic func([]int) float64) []float64 {
	groups := min(n, jackknifeGroups)
	values := make([]float64, groups)
	var group errgroup.Group
	group.SetLimit(runtime.GOMAXPROCS(0))
	for g := range groups {
		group.Go(func() error {
			rows := slices.DeleteFunc(num.AllRows(n), func(i int) bool { return i%groups == g })
			values[g] = statistic(rows)
			return nil
		})
	}
	_ = group.Wait()
	return values
}

// biasCorrection is the normal quantile of the share of replicates below the
// estimate, held off 0 and 1 by one replicate.
func biasCorrection(below, replicates int) float64 {
	share := float64(below) / float64(replicates)
	edge := 1 / float64(replicates+1)
	return distuv.UnitNormal.Quantile(math.Max(edge, math.Min(1-edge, share)))
}

// accelerationOf returns a sixth of the skewness sum of the jackknife values; 0
// where they do not differ.
func accelerationOf(left []float64) float64 {
	mean := num.Mean(left)
	exponent := num.ExponentOf(left)
	var squares, cubes float64
	for _, v := range left {
		d := math.Ldexp(mean, -exponent) - math.Ldexp(v, -exponent)
		squares += d * d
		cubes += d * d * d
	}
	if squares == 0 {
		return 0
	}
	return cubes / (6 * math.Pow(squares, 1.5))
}

// adjusted moves a level by bias correction and acceleration.
func adjusted(level, bias, acceleration float64) float64 {
	z := bias + distuv.UnitNormal.Quantile(level)
	divisor := 1 - acceleration*z
	if divisor <= 0 { // the transformation has a pole: all of the tail
		if z > 0 {
			return 1
		}
		return 0
	}
	return distuv.UnitNormal.CDF(bias + z/divisor)
}

// rankOf is the index, in ascending order, of the smallest replicate whose
// cumulative share reaches the level.
func rankOf(level float64, replicates int) int {
	return max(0, min(replicates-1, int(math.Ceil(level*float64(replicates)))-1))
}
