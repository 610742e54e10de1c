package catalogue

import "slices"

// Inputs returns the recorded columns from which a measure is computed, in the
// order of its formula. For media_area they are media_length, element_width and
// the recorded area, which is used where one of those is missing. A recorded
// column is its own input.
func Inputs(name string) []string {
	needs, formula := Formula(name)
	if formula == nil {
		return []string{name}
	}
	var out []string
	for _, need := range needs {
		from := []string{need}
		if _, known := LookUp(need); !known {
			continue // a number inside another cell
		}
		if need != name { // media_area may also be recorded
			from = Inputs(need)
		}
		for _, column := range from {
			if !slices.Contains(out, column) {
				out = append(out, column)
			}
		}
	}
	return out
}

// Formula returns the inputs of a derived measure, derived ones among them, and
// the function that computes it from them in base units, with NaN for a blank
// input. The function is nil for a recorded column. An input that is not a
// column is a number inside another cell.
func Formula(name string) (inputs []string, formula func([]float64) float64) {
	at := slices.IndexFunc(derived, func(c Column) bool { return c.Name == name })
	if at < 0 {
		return nil, nil
	}
	return slices.Clone(derived[at].Inputs), derived[at].Formula
}
