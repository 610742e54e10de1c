package num

import "slices"

// Series is one block of a blocked method: values y at times t, of one length,
// in any order. A block is one part number, one season, one region: values are
// compared within it only.
type Series struct{ T, Y []float64 }

// CheckBlocks refuses blocks that cannot be used; at least one must hold need
// values.
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

// EachTime calls visit with the range of each group of equal times of a block
// in time order.
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

// InTimeOrder returns a copy sorted by time, equal times by value, so that no
// result depends on the order of rows.
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

// Rising says whether every value is larger than the one before.
func Rising(x []float64) bool {
	for i := 1; i < len(x); i++ {
		if !(x[i] > x[i-1]) {
			return false
		}
	}
	return true
}
