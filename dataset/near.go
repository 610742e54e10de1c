package dataset

// EditDistance counts the letters to insert, delete, replace or swap with their
// neighbour that turn one text into another, each letter touched once: F. J.
// Damerau (1964), Commun. ACM 7, 171-176.
func EditDistance(a, b string) int { return editDistance(a, b, len(a)+len(b)) }
