// Package rank answers "do y and x rise together?" from the order of values
// alone: Kendall's S with ties, exact where samples are small, also summed over
// blocks (Hirsch, Slack and Smith 1982); the Theil–Sen slope (Sen 1968) and its
// blocked form; the Hodges–Lehmann shift; permutation within blocks.
//
// It supposes nothing of the noise but that values of a block could have come in
// any order. It does not use the size of differences, which costs a little power
// where the noise is normal.
package rank
