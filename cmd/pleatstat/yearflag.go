package main

import (
	"errors"
	"strconv"
)

// yearFlag is a year as it is written: four digits, so that no other way of
// writing numbers is taken for one.
type yearFlag int

func (y *yearFlag) String() string {
	if *y == 0 {
		return ""
	}
	return strconv.Itoa(int(*y))
}

func (y *yearFlag) Set(s string) error {
	n, err := strconv.Atoi(s)
	if err != nil || n < 1000 || len(s) != 4 {
		return errors.New("want " + aYear)
	}
	*y = yearFlag(n)
	return nil
}

func (y *yearFlag) Type() string { return "year" }

const aYear = "a year of four digits, for example 2026"
