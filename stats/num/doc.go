// Package num holds what the numerical packages share: error types, means,
// medians and quantiles, selection by rank, Student's t, sums in double-double
// arithmetic, and adjustment of p-values for the false discovery rate (Benjamini
// and Hochberg 1995).
//
// It fits no models; see linear, robust, outlier, rank and panel.
//
// Conventions of every exported function of the numerical packages, unless its
// own comment says otherwise:
//
//   - inputs are not modified; a slice that must be sorted is copied first;
//   - input that is not finite gives a *NonFiniteError or a result of NaN, as the
//     function documents; it never enters a sum;
//   - too few values give a *TooFewError that states how many are needed;
//   - the zero value of an options struct means the documented defaults;
//   - randomness comes from a seed in the options: the same input and seed give
//     the same result, bit for bit, on any number of cores.
package num
