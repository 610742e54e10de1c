package stats

import "fmt"

// WeightError says that a relative penalty is no finite number of 0 or more.
type WeightError struct {
	Column string
	Weight float64
}

func (e *WeightError) Error() string {
	return fmt.Sprintf("stats: relative penalty %g of %s is no finite number of 0 or more", e.Weight, e.Column)
}

// PenaltyError says that a penalty is no number of 0 or more.
type PenaltyError struct{ Penalty float64 }

func (e *PenaltyError) Error() string {
	return fmt.Sprintf("stats: penalty %g is no number of 0 or more", e.Penalty)
}

// GroupError says that the group number of a row is outside 0 to the number of
// rows less one.
type GroupError struct{ Row, Group int }

func (e *GroupError) Error() string {
	return fmt.Sprintf("stats: group number %d of row %d is out of range", e.Group, e.Row)
}

// checkValues returns the error about lengths and numbers.
func (d Design) checkValues(y []float64) error {
	names := d.terms()
	names = names[len(names)-len(d.Columns):]
	for j, c := range d.Columns {
		if len(c) != len(y) {
			return &LengthError{Column: names[j], Have: len(c), Want: len(y)}
		}
		if i := firstNonFinite(c); i >= 0 {
			return &NonFiniteError{Column: names[j], Row: i}
		}
	}
	if i := firstNonFinite(y); i >= 0 {
		return &NonFiniteError{Column: responseName, Row: i}
	}
	return nil
}

// groupRows lists the rows of each group; without numbers each row is its own.
func groupRows(numbers []int, n int) ([][]int, error) {
	var groups [][]int
	if numbers == nil {
		all := make([]int, n)
		for i := range all {
			all[i] = i
			groups = append(groups, all[i:i+1:i+1])
		}
		return groups, nil
	}
	if len(numbers) != n {
		return nil, &LengthError{Column: "group numbers", Have: len(numbers), Want: n}
	}
	for i, k := range numbers {
		if k < 0 || k >= n {
			return nil, &GroupError{Row: i, Group: k}
		}
		for k >= len(groups) {
			groups = append(groups, nil)
		}
		groups[k] = append(groups[k], i)
	}
	return groups, nil
}
