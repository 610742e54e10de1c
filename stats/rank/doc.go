// Package rank answers "does y rise with x?" with methods based on ranks:
// Kendall's S with ties, exact for small samples, also summed over blocks (Hirsch,
// Slack and Smith 1982); the Theil–Sen slope (Sen 1968) and its blocked form; the
// Hodges–Lehmann shift; and a permutation test within blocks.
//
// The tests assume only that, without a trend, the values of a block are equally
// likely in every order. The rank tests ignore the size of differences, which costs
// a little power if the noise is normal.
package rank
