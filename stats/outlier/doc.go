// Package outlier answers "which rows lie further off the line than chance
// explains?".
//
// The model is a contaminated sample: most rows scatter about the line (honest
// rows), and a share of rows is shifted up or down (J. W. Tukey (1960), A survey of
// sampling from contaminated distributions, from memory). One likelihood
// (likelihood.go) is averaged over the shape of the honest scatter (shape.go) and
// over the share, size and place of the shifts (shifts.go); the line, prediction
// ranges and p-values follow from it.
//
// It does not explain why a row is shifted, nor which of its readings is wrong.
package outlier
