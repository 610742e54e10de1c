package num

import (
	"errors"
	"fmt"
	"strings"
)

// ErrOverflow says that finite input leads to a result outside the range of
// double precision.
var ErrOverflow = errors.New("stats: result outside the range of double precision")

// ErrNoSpread says that values do not differ, so that there is nothing to test
// or fit.
var ErrNoSpread = errors.New("stats: values without spread")

// RankError says that columns of a design are linear combinations of one
// another, so that their coefficients are not determined.
type RankError struct {
	Columns []string // every column that takes part, in the order of the design
}

func (e *RankError) Error() string {
	if len(e.Columns) == 1 {
		return fmt.Sprintf("stats: column %s is zero throughout: its coefficient is not determined", e.Columns[0])
	}
	return fmt.Sprintf("stats: columns %s depend on one another: their coefficients are not determined",
		strings.Join(e.Columns, ", "))
}

// TooFewError says that there is too little data, and how much would do.
type TooFewError struct {
	What string // what is counted: "rows", "values", …
	Have int
	Need int
}

func (e *TooFewError) Error() string {
	return fmt.Sprintf("stats: needs at least %d %s; has %d", e.Need, e.What, e.Have)
}

// TooManyError says that a method is not known to hold for so many values.
type TooManyError struct {
	What string
	Have int
	Most int
}

func (e *TooManyError) Error() string {
	return fmt.Sprintf("stats: holds for at most %d %s; has %d", e.Most, e.What, e.Have)
}

// NonFiniteError says where a NaN or an infinity stands in the input.
type NonFiniteError struct {
	Column string // name of the column; "response" for the response
	Row    int    // 0-based
}

func (e *NonFiniteError) Error() string {
	return fmt.Sprintf("stats: %s holds no finite number in row %d", e.Column, e.Row)
}

// LengthError says that a column does not have the length of the others.
type LengthError struct {
	Column     string
	Have, Want int
}

func (e *LengthError) Error() string {
	return fmt.Sprintf("stats: %s has %d values where the others have %d", e.Column, e.Have, e.Want)
}

// DomainError says that a setting is outside the range the method allows.
type DomainError struct {
	Name  string
	Value float64
	Want  string // the range in words
}

func (e *DomainError) Error() string {
	return fmt.Sprintf("stats: %s must be %s; is %v", e.Name, e.Want, e.Value)
}
