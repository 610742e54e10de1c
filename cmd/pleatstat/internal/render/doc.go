// Package render turns results into plain text, JSON and CSV tables. It
// computes nothing: every figure it prints stands in the result it was given.
package render
