// Package outlier answers "which rows lie off the line by more than chance?".
//
// The model is a contaminated sample: most rows scatter about the line, a share
// is shifted up or down. The line is the average of mixture components weighed
// by their likelihood, p-values come from the scatter of the clean rows.
//
// It does not explain why a row is off, nor which of its readings is wrong.
package outlier
