// Package hedonic answers "what do products with the same contents usually cost?"
// by a hedonic regression: prices explained by what a product is made of (Z.
// Griliches (1961), Hedonic Price Indexes for Automobiles, in The Price Statistics
// of the Federal Government, NBER, 173-196, from memory).
//
// The model is log price = constant + exponent · log media area + contents + a
// smooth effect of time + noise, averaged over the subsets of contents (see
// newPosterior). The noise is a contaminated distribution (package outlier), so that
// overpriced products do not determine the usual price (see Market.fitMixture).
// Every product is judged by a fit that has not seen its price.
//
// It takes numbers without blanks and returns predictions with their uncertainty; it
// gives no verdict on a product.
package hedonic
