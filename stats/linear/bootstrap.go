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

	// bootBlock is the number of replicates drawn from one random generator. Each
	// block has its own, so the draws do not depend on the number of cores.
	bootBlock = 64

	// bootFewest is the smallest number of rows accepted; with fewer there are too
	// few distinct resamples.
	bootFewest = 5

	// jackknifeGroups is the largest number of leave-out fits: with more rows,
	// groups of rows are left out together, which changes the acceleration by
	// sampling error only.
	jackknifeGroups = 400

	// bootUndefined is the largest share of replicates without a value (a resample
	// may repeat one row throughout) at which an interval is still given.
	bootUndefined = 0.05
)

// BootOptions are the options of a bootstrap. Zero fields mean 2000 replicates,
// confidence 0.95 and seed 0.
type BootOptions struct {
	Replicates int
	Confidence float64
	Seed       uint64
}

// BCa returns the bias-corrected and accelerated bootstrap confidence interval of
// a statistic of n rows: Efron (1987), JASA 82, 171-185; Efron and Tibshirani
// (1993), An Introduction to the Bootstrap, section 14.3. The bias correction
// uses the share of replicates below the estimate, the acceleration the
// jackknife; a limit is the smallest replicate whose cumulative share reaches the
// adjusted level.
//
// statistic receives row numbers: all n in order, n drawn with replacement, or
// all but one (above 400 rows, all but one group). It must not modify them, must
// be safe for concurrent calls, and returns NaN if it has no value.
//
// Errors: *TooFewError below 5 rows, or if more than 5 % of the replicates or any
// leave-out fit has no value; *DomainError for options out of range; ErrOverflow
// if the statistic of all rows is not finite.
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

// resample returns the finite values of the statistic over the resamples, in an
// order that depends only on the seed.
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

// leaveOut returns the statistic with each row left out in turn, or each of
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

// biasCorrection returns the normal quantile of the share of replicates below the
// estimate; the share is kept about one replicate away from 0 and 1.
func biasCorrection(below, replicates int) float64 {
	share := float64(below) / float64(replicates)
	edge := 1 / float64(replicates+1)
	return distuv.UnitNormal.Quantile(math.Max(edge, math.Min(1-edge, share)))
}

// accelerationOf returns Σd³ / (6 (Σd²)^1.5), d being the mean of the jackknife
// values minus each; 0 if they do not differ.
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

// adjusted returns a level corrected for bias and acceleration.
func adjusted(level, bias, acceleration float64) float64 {
	z := bias + distuv.UnitNormal.Quantile(level)
	divisor := 1 - acceleration*z
	if divisor <= 0 { // beyond the pole of the transformation
		if z > 0 {
			return 1
		}
		return 0
	}
	return distuv.UnitNormal.CDF(bias + z/divisor)
}

// rankOf returns the index, in ascending order, of the smallest replicate whose
// cumulative share reaches the level.
func rankOf(level float64, replicates int) int {
	return max(0, min(replicates-1, int(math.Ceil(level*float64(replicates)))-1))
}
