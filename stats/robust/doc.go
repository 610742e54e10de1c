// Package robust answers "how does y go with x for most of the rows?".
//
// It fits an S-estimate (bisquare, breakdown 1/2; Rousseeuw and Yohai 1984) and
// from it an M-estimate at 95 % efficiency (MM; Yohai 1987): rows far off weigh
// less, down to nothing.
//
// It does not say which rows are outliers; package outlier does.
package robust
