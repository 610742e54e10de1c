// Package stats is the numerics of the project: regression, ranges,
// diagnostics and tests on plain []float64. It knows nothing of filters and
// reads and writes nothing.
//
// Rules that hold for every exported function:
//
//   - inputs are never modified; what must be ordered is copied first;
//   - values that are not finite are refused with a *NonFiniteError or answered
//     with NaN, as the function says; they never take part in a sum;
//   - too few values are a *TooFewError that tells how many would do;
//   - the zero value of an options struct means the documented defaults;
//   - randomness comes from a seed in the options: the same input and seed give
//     the same bytes on any number of cores.
package stats
