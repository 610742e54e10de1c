package catalogue

import "slices"

// Inputs returns the recorded columns a measure is computed from, in the order
// of its formula: media_length and element_width (and the recorded area where
// those are missing) for media_area. A recorded column is its own input.
func Inputs(name string) []string {
	needs, formula := Formula(name)
	if formula == nil {
		return []string{name}
	}
	var out []string
	for _, need := range needs {
		from := []string{need}
		if _, known := LookUp(need); !known {
			continue // stands inside another cell
		}
		if need != name { // media_area is computed, or else recorded as such
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

// Formula gives the columns from which a measure is computed, those that are
// derived themselves as such, and how, in base units, NaN for what is blank; a nil
// formula for a recorded column. An input that is no column stands inside a cell.
func Formula(name string) (inputs []string, formula func([]float64) float64) {
	at := slices.IndexFunc(derived, func(c Column) bool { return c.Name == name })
	if at < 0 {
		return nil, nil
	}
	return slices.Clone(derived[at].Inputs), derived[at].Formula
}
