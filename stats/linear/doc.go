// Package linear answers "how does y go with x?" by least squares.
//
// The model is y = Xβ + ε with independent noise of one spread. Fits come with
// coefficients, covariance, leverage, deleted residuals and Cook's distance
// (Belsley, Kuh and Welsch 1980), prediction ranges, tests of normality, spread
// and curvature, errors in both variables (Deming regression) and a paired
// bootstrap (BCa, Efron 1987). Sums are kept in twice the precision.
//
// It does not judge outliers (package outlier) and does not resist them
// (package robust). Basis is a design in orthonormal columns, which both share.
package linear
