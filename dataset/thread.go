package dataset

import "pleatstat/dataset/internal/cellparse"

// ParseThread parses a mounting thread: M20x1.5, 3/4-16 UNF, 1 1/2-16. It is
// false for anything else, including a metric thread without its pitch.
func ParseThread(text string) (cellparse.Thread, bool) { return cellparse.ParseThread(text) }

// SameThread reports whether two texts name the same thread: by diameter and
// pitch if both can be parsed, by their letters without regard to case and
// spaces if neither can.
func SameThread(a, b string) bool { return cellparse.SameThread(a, b) }
