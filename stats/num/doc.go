// Package num holds what all numerics share: errors, means, medians and
// quantiles, selection by rank, Student's t, sums in double-double arithmetic,
// the false discovery rate (Benjamini and Hochberg 1995).
//
// It fits nothing; models stand in linear, robust, outlier, rank and panel.
//
// Rules that hold for every exported function of the numerics:
//
//   - inputs are never modified; what must be ordered is copied first;
//   - values that are not finite are refused with a *NonFiniteError or answered
//     with NaN, as the function says; they never take part in a sum;
//   - too few values are a *TooFewError that tells how many would do;
//   - the zero value of an options struct means the documented defaults;
//   - randomness comes from a seed in the options: the same input and seed give
//     the same bytes on any number of cores.
package num
