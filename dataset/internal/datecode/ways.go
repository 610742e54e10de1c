package datecode

import (
	"math"
	"strconv"

	"pleatstat/dataset/internal/cellparse"
)

// wayOfReading is one meaning that the digits of a code can have.
type wayOfReading struct {
	name string // as messages name it
	read func(d string, opened float64) Span
}

func at(d string, from, to int) int {
	n, err := strconv.Atoi(d[from:to])
	if err != nil {
		return -1
	}
	return n
}

// ways returns the possible meanings of a code with that many digits.
func ways(digits int) []wayOfReading {
	switch digits {
	case 4:
		return []wayOfReading{
			{"year and week", func(d string, _ float64) Span { return weekOf(cellparse.Century(at(d, 0, 2)), at(d, 2, 4)) }},
			{"week and year", func(d string, _ float64) Span { return weekOf(cellparse.Century(at(d, 2, 4)), at(d, 0, 2)) }},
			{"year and month", func(d string, _ float64) Span { return monthOf(cellparse.Century(at(d, 0, 2)), at(d, 2, 4)) }},
			{"month and year", func(d string, _ float64) Span { return monthOf(cellparse.Century(at(d, 2, 4)), at(d, 0, 2)) }},
			{"last digit of the year and day of the year", func(d string, opened float64) Span {
				if math.IsNaN(opened) {
					return noDate
				}
				year := int(opened) - (int(opened)-at(d, 0, 1)+10)%10
				return dayOf(year, at(d, 1, 4))
			}},
		}
	case 5:
		return []wayOfReading{
			{"year and day of the year", func(d string, _ float64) Span { return dayOf(cellparse.Century(at(d, 0, 2)), at(d, 2, 5)) }},
			{"day of the year and year", func(d string, _ float64) Span { return dayOf(cellparse.Century(at(d, 3, 5)), at(d, 0, 3)) }},
		}
	case 6:
		return []wayOfReading{
			{"year and week", func(d string, _ float64) Span { return weekOf(at(d, 0, 4), at(d, 4, 6)) }},
			{"week and year", func(d string, _ float64) Span { return weekOf(at(d, 2, 6), at(d, 0, 2)) }},
			{"year and month", func(d string, _ float64) Span { return monthOf(at(d, 0, 4), at(d, 4, 6)) }},
			{"month and year", func(d string, _ float64) Span { return monthOf(at(d, 2, 6), at(d, 0, 2)) }},
			{"year, month and day", func(d string, _ float64) Span {
				return dateOf(cellparse.Century(at(d, 0, 2)), at(d, 2, 4), at(d, 4, 6))
			}},
			{"day, month and year", func(d string, _ float64) Span {
				return dateOf(cellparse.Century(at(d, 4, 6)), at(d, 2, 4), at(d, 0, 2))
			}},
		}
	case 7:
		return []wayOfReading{
			{"year and day of the year", func(d string, _ float64) Span { return dayOf(at(d, 0, 4), at(d, 4, 7)) }},
		}
	case 8:
		return []wayOfReading{
			{"year, month and day", func(d string, _ float64) Span { return dateOf(at(d, 0, 4), at(d, 4, 6), at(d, 6, 8)) }},
		}
	}
	return nil
}
