// Package robust answers "how does y depend on x for most of the rows?".
//
// It fits an S-estimate (bisquare, breakdown 1/2; Rousseeuw and Yohai 1984) and,
// starting from it, an M-estimate with 95 % efficiency (MM; Yohai 1987). A row
// far from the fit gets a small weight or none.
//
// It does not decide which rows are outliers; package outlier does.
package robust
