// Package hedonic answers "what do products with the same contents usually cost?"
// by a hedonic regression: prices explained by what a product is made of (Z.
// Griliches (1961), Hedonic Price Indexes for Automobiles, in The Price Statistics
// of the Federal Government, NBER, 173-196, from memory).
//
// The model is log price = a constant + a power of the media area + contents + a
// smooth effect of time + noise, averaged over which contents matter (see
// newPosterior). The noise is that of a contaminated market, so that overpriced
// products do not decide what is usual (see Market.fitMixture). Every product is
// judged by a fit that has not seen its price.
//
// It takes numbers without blanks, and returns what is usual and how sure that is;
// it knows neither names nor money, and gives no verdict.
package hedonic
