// Package panel answers "did these series change over time?", each block (the
// repeated openings of one part) having its own level.
//
// The model is y = level of the block + a common trend, step or bend in time +
// noise, fitted within blocks by least squares or by bisquare estimates; steps are
// dated by a search over all dates. CUSUM monitors a single series.
//
// It does not compare blocks with each other.
package panel
