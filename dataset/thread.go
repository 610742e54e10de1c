package dataset

import "pleatstat/dataset/internal/cellparse"

// ParseThread reads a mounting thread: M20x1.5, 3/4-16 UNF, 1 1/2-16. It is false
// for anything else, a metric thread without its pitch included.
func ParseThread(text string) (cellparse.Thread, bool) { return cellparse.ParseThread(text) }

// SameThread says whether two texts name the same thread: by diameter and pitch
// where both can be read, else letter by letter without regard to case and blanks.
func SameThread(a, b string) bool { return cellparse.SameThread(a, b) }
