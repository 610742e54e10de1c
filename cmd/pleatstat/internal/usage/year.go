package usage

import (
	"errors"
	"strconv"
)

// Year is the value of a flag that takes a year of four digits; no other way of
// writing a number is accepted.
type Year int

func (y *Year) String() string {
	if *y == 0 {
		return ""
	}
	return strconv.Itoa(int(*y))
}

func (y *Year) Set(s string) error {
	n, err := strconv.Atoi(s)
	if err != nil || n < 1000 || len(s) != 4 {
		return errors.New("want " + aYear)
	}
	*y = Year(n)
	return nil
}

func (y *Year) Type() string { return "year" }

const aYear = "a year of four digits, for example 2026"
