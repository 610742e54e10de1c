package num

import "slices"

// Series is one block of a blocked method: values Y at times T, equally long, in
// any order. Values are compared only within a block, such as a part number, a
// season or a region.
type Series struct{ T, Y []float64 }

// CheckBlocks returns an error if a block fails CheckPairs or if no block has at
// least need values.
func CheckBlocks(blocks []Series, need int) error {
	most := 0
	for _, b := range blocks {
		if err := CheckPairs(b.T, b.Y, 0); err != nil {
			return err
		}
		most = max(most, len(b.T))
	}
	if most < need {
		return &TooFewError{What: "values in one block", Have: most, Need: need}
	}
	return nil
}

// EachTime calls visit(i, j) for each run b.T[i:j] of equal times; b must be
// sorted by time.
func EachTime(b Series, visit func(i, j int)) {
	for i := 0; i < len(b.T); {
		j := i + 1
		for j < len(b.T) && b.T[j] == b.T[i] {
			j++
		}
		visit(i, j)
		i = j
	}
}

// InTimeOrder returns a copy of b sorted by time, and by value at equal times, so
// that results do not depend on the order of rows.
func InTimeOrder(b Series) Series {
	if slices.IsSorted(b.T) {
		s := Series{T: slices.Clone(b.T), Y: slices.Clone(b.Y)}
		EachTime(s, func(i, j int) { slices.Sort(s.Y[i:j]) })
		return s
	}
	order := make([]int, len(b.T))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int {
		if c := Compare(b.T[i], b.T[j]); c != 0 {
			return c
		}
		return Compare(b.Y[i], b.Y[j])
	})
	s := Series{T: make([]float64, len(order)), Y: make([]float64, len(order))}
	for k, i := range order {
		s.T[k], s.Y[k] = b.T[i], b.Y[i]
	}
	return s
}

// Rising reports whether every value is larger than the one before.
func Rising(x []float64) bool {
	for i := 1; i < len(x); i++ {
		if !(x[i] > x[i-1]) {
			return false
		}
	}
	return true
}
