// Package stats holds no code of its own: numerics stand in num, linear,
// robust, outlier, rank and panel, the analyses of a log beside them.
package stats
