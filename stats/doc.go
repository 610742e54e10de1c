// Package stats has no code of its own. The numerical methods are in num, linear,
// robust, outlier, rank and panel; the other packages analyse a log with them.
package stats
