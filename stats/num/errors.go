package num

import (
	"errors"
	"fmt"
	"strings"
)

// ErrOverflow reports that finite input gave a result outside the range of
// double precision.
var ErrOverflow = errors.New("stats: result outside the range of double precision")

// ErrNoSpread reports that all values are equal, so that nothing can be tested
// or fitted.
var ErrNoSpread = errors.New("stats: values without spread")

// RankError reports columns of a design that are linearly dependent, so that
// their coefficients are not determined.
type RankError struct {
	Columns []string // every column of the dependence, in the order of the design
}

func (e *RankError) Error() string {
	if len(e.Columns) == 1 {
		return fmt.Sprintf("stats: column %s is zero throughout: its coefficient is not determined", e.Columns[0])
	}
	return fmt.Sprintf("stats: columns %s depend on one another: their coefficients are not determined",
		strings.Join(e.Columns, ", "))
}

// TooFewError reports that there are too few data, and how many are needed.
type TooFewError struct {
	What string // what is counted: "rows", "values", …
	Have int
	Need int
}

func (e *TooFewError) Error() string {
	return fmt.Sprintf("stats: needs at least %d %s; has %d", e.Need, e.What, e.Have)
}

// TooManyError reports more values than a method is known to be valid for.
type TooManyError struct {
	What string
	Have int
	Most int
}

func (e *TooManyError) Error() string {
	return fmt.Sprintf("stats: holds for at most %d %s; has %d", e.Most, e.What, e.Have)
}

// NonFiniteError reports the position of a NaN or an infinity in the input.
type NonFiniteError struct {
	Column string // name of the column; "response" for the response
	Row    int    // 0-based
}

func (e *NonFiniteError) Error() string {
	return fmt.Sprintf("stats: %s holds no finite number in row %d", e.Column, e.Row)
}

// LengthError reports a column whose length differs from that of the others.
type LengthError struct {
	Column     string
	Have, Want int
}

func (e *LengthError) Error() string {
	return fmt.Sprintf("stats: %s has %d values where the others have %d", e.Column, e.Have, e.Want)
}

// DomainError reports a setting outside the range that the method allows.
type DomainError struct {
	Name  string
	Value float64
	Want  string // the range in words
}

func (e *DomainError) Error() string {
	return fmt.Sprintf("stats: %s must be %s; is %v", e.Name, e.Want, e.Value)
}
