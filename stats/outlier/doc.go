// Package outlier answers "which rows lie off the line by more than chance?".
//
// The model is a contaminated sample: most rows scatter about the line, a share
// is shifted up or down (J. W. Tukey (1960), A survey of sampling from contaminated
// distributions, from memory). It is one likelihood (likelihood.go) for every shape
// of honest scatter (shape.go), averaged over what may be shifted (shifts.go); line,
// prediction ranges and p-values follow from it.
//
// It does not explain why a row is off, nor which of its readings is wrong.
package outlier
