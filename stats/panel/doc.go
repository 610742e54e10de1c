// Package panel answers "did these repeated series change over time?" where
// each block (a part opened again and again) has a level of its own.
//
// The model is y = level of the block + a common trend, step or bend in time +
// noise, fitted by least squares or a bisquare estimate within blocks; steps are
// dated by searching all dates. CUSUM charts follow one series.
//
// It does not compare blocks with each other.
package panel
