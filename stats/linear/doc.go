// Package linear answers "how does y depend on x?" by least squares.
//
// The model is y = Xβ + ε with independent errors of constant variance. A fit
// gives coefficients and their covariance, leverage, deleted residuals, Cook's
// distance (Belsley, Kuh and Welsch 1980) and prediction intervals. Beside it are
// tests of normality, of constant variance and of curvature, regression with
// errors in both variables (Deming) and a bootstrap of rows (BCa, Efron 1987).
// Sums are computed in double-double arithmetic.
//
// It does not identify outliers (package outlier), nor is it robust against them
// (package robust). Both use Basis, a design in orthogonal columns.
package linear
