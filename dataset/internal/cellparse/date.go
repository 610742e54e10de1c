package cellparse

import (
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"
)

// Order is the order of day and month in dates such as 3/8/2024.
type Order uint8

const (
	OrderUnknown Order = iota
	DayFirst
	MonthFirst
)

// DateEvidence is what one date shows about the order of day and month in its
// column.
type DateEvidence uint8

const (
	DateSilent      DateEvidence = iota // the order does not matter
	ShowsDayFirst                       // 25/3/2024
	ShowsMonthFirst                     // 3/25/2024
	DependsOnColumn                     // 3/8/2024
	SerialDate                          // 45359
)

// Date is a date of the precision in which it was written. Month and Day are 0
// if unknown.
type Date struct{ Year, Month, Day int }

// FirstYear and LastYear bound the years of a log; other years are mistakes.
const (
	FirstYear = 1950
	LastYear  = 2099
)

// serialOrigin is day 0 of the serial dates of spreadsheets.
var serialOrigin = time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)

// Serial numbers read as dates: 1950 to 2099. Smaller numbers may be years.
const (
	firstSerial = 18264
	lastSerial  = 73050
)

func badDate() error {
	return fail("is not a date that can be read; write 2024-03-08, 2024-03 or 2024")
}

// ParseDate parses a date: 2024-03-08, 20240308, 2024/3/8, 08.03.2024, 8.3.24,
// 3/8/2024, 8 Mar 2024, March 8, 2024, 2024-03, 03/2024, Mar 2024, 2024, and
// the serial number of a spreadsheet. A time of day and a mark of approximation
// are dropped. Dotted dates are day first. If the order matters and is unknown,
// only the year is returned, with DependsOnColumn.
func ParseDate(text string, order Order) (Date, DateEvidence, error) {
	if d, ok := isoDate(text); ok {
		return checked(d, DateSilent)
	}
	s, _ := cutApprox(clean(text))
	s, _ = trimApprox(s)
	s = cutTime(s)
	if s == "" {
		return Date{}, DateSilent, badDate()
	}
	fields, marks := dateFields(s)
	switch len(fields) {
	case 1:
		return oneField(s, fields[0])
	case 2:
		return twoFields(fields)
	case 3:
		return threeFields(fields, marks, order)
	}
	return Date{}, DateSilent, badDate()
}

func isoDate(s string) (Date, bool) {
	if len(s) != 10 || s[4] != '-' || s[7] != '-' {
		return Date{}, false
	}
	var v [3]int
	for i, span := range [3][2]int{{0, 4}, {5, 7}, {8, 10}} {
		for j := span[0]; j < span[1]; j++ {
			if s[j] < '0' || s[j] > '9' {
				return Date{}, false
			}
			v[i] = v[i]*10 + int(s[j]-'0')
		}
	}
	return Date{v[0], v[1], v[2]}, v[1] > 0 && v[2] > 0
}

// cutTime drops a time of day after a date.
func cutTime(s string) string {
	colon := strings.IndexByte(s, ':')
	if colon < 0 {
		return strings.TrimSuffix(s, "Z")
	}
	cut := strings.LastIndexAny(s[:colon], " T")
	if cut < 0 {
		return s
	}
	return strings.TrimSpace(s[:cut])
}

// dateFields splits a date at dots, slashes, dashes, commas and spaces. marks
// are the separators found other than spaces.
func dateFields(s string) (fields []string, marks string) {
	isMark := func(r rune) bool { return strings.ContainsRune("./-,", r) || unicode.IsSpace(r) }
	for _, r := range s {
		if isMark(r) && !unicode.IsSpace(r) {
			marks += string(r)
		}
	}
	if len(marks) > 4 {
		return nil, ""
	}
	return strings.FieldsFunc(s, isMark), marks
}

func oneField(whole, s string) (Date, DateEvidence, error) {
	if whole != s { // a stray mark: "2024-", "-5"
		v, err := strconv.ParseFloat(whole, 64)
		if err != nil {
			return Date{}, DateSilent, badDate()
		}
		return serial(v)
	}
	v, err := strconv.Atoi(s)
	switch {
	case err != nil:
		return Date{}, DateSilent, badDate()
	case len(s) == 8 && (v%100 == 0 || v/100%100 == 0):
		return Date{}, DateSilent, badDate()
	case len(s) == 8:
		return checked(Date{v / 10000, v / 100 % 100, v % 100}, DateSilent)
	case len(s) == 4:
		return checked(Date{Year: v}, DateSilent)
	}
	return serial(float64(v))
}

func serial(v float64) (Date, DateEvidence, error) {
	if v < firstSerial || v > lastSerial || math.IsNaN(v) {
		return Date{}, DateSilent, badDate()
	}
	t := serialOrigin.AddDate(0, 0, int(v))
	return Date{t.Year(), int(t.Month()), t.Day()}, SerialDate, nil
}

func twoFields(f []string) (Date, DateEvidence, error) {
	if digits(f[0]) && digits(f[1]) && len(f[0]) == 5 { // 45359.5: a serial date with its time of day
		if v, err := strconv.ParseFloat(f[0], 64); err == nil {
			return serial(v)
		}
	}
	for _, p := range [2][2]string{{f[0], f[1]}, {f[1], f[0]}} {
		year, month := p[0], p[1]
		if len(year) != 4 || !digits(year) {
			continue
		}
		y, _ := strconv.Atoi(year)
		m, ok := monthOf(month)
		if !ok || m == 0 { // 00/2024
			break
		}
		return checked(Date{Year: y, Month: m}, DateSilent)
	}
	return Date{}, DateSilent, badDate()
}

func threeFields(f []string, marks string, order Order) (Date, DateEvidence, error) {
	// A month in letters settles the order.
	for i, s := range f {
		if m := monthName(s); m != 0 {
			rest := append(append([]string{}, f[:i]...), f[i+1:]...)
			if len(rest[0]) == 4 {
				rest[0], rest[1] = rest[1], rest[0]
			}
			d, errDay := strconv.Atoi(strings.TrimRight(strings.ToLower(rest[0]), "stndrh"))
			y, ok := yearOf(rest[1])
			if errDay != nil || !ok {
				return Date{}, DateSilent, badDate()
			}
			return checked(Date{y, m, d}, DateSilent)
		}
	}
	if !digits(f[0]) || !digits(f[1]) || !digits(f[2]) || atoi(f[0])*atoi(f[1])*atoi(f[2]) == 0 {
		return Date{}, DateSilent, badDate()
	}
	if len(f[0]) == 4 {
		return checked(Date{atoi(f[0]), atoi(f[1]), atoi(f[2])}, DateSilent)
	}
	y, ok := yearOf(f[2])
	if !ok || len(f[0]) > 2 || len(f[1]) > 2 {
		return Date{}, DateSilent, badDate()
	}
	a, b := atoi(f[0]), atoi(f[1])
	switch {
	case strings.HasPrefix(marks, ".."):
		return checked(Date{y, b, a}, DateSilent)
	case a == b:
		return checked(Date{y, a, b}, DateSilent)
	case a > 12:
		return checked(Date{y, b, a}, ShowsDayFirst)
	case b > 12:
		return checked(Date{y, a, b}, ShowsMonthFirst)
	}
	switch order {
	case DayFirst:
		return checked(Date{y, b, a}, DependsOnColumn)
	case MonthFirst:
		return checked(Date{y, a, b}, DependsOnColumn)
	}
	return checked(Date{Year: y}, DependsOnColumn)
}

func digits(s string) bool { return allDigits(s) == nil }

func atoi(s string) int {
	v, err := strconv.Atoi(s)
	if err != nil {
		return -1
	}
	return v
}

// Century adds the century to a two-digit year: 70 to 99 are 1970 to 1999, the
// others 2000 to 2069.
func Century(y int) int {
	if y >= 70 {
		return 1900 + y
	}
	return 2000 + y
}

// yearOf parses a year of four or two digits.
func yearOf(s string) (int, bool) {
	if !digits(s) {
		return 0, false
	}
	switch len(s) {
	case 4:
		return atoi(s), true
	case 2:
		return Century(atoi(s)), true
	}
	return 0, false
}

func monthOf(s string) (int, bool) {
	if m := monthName(s); m != 0 {
		return m, true
	}
	if !digits(s) || len(s) > 2 {
		return 0, false
	}
	return atoi(s), true
}

// monthName returns the number of an English month name or its abbreviation, 0
// for any other text.
func monthName(s string) int {
	if len(s) < 3 {
		return 0
	}
	s = strings.ToLower(s)
	if s == "sept" {
		return 9
	}
	for m := time.January; m <= time.December; m++ {
		name := strings.ToLower(m.String())
		if s == name || s == name[:3] {
			return int(m)
		}
	}
	return 0
}

// checked returns an error for a date outside the calendar or the years of a
// log.
func checked(d Date, e DateEvidence) (Date, DateEvidence, error) {
	if d.Year < FirstYear || d.Year > LastYear {
		return Date{}, DateSilent, fail("is in a year outside 1950 to 2099")
	}
	if d.Month < 0 || d.Month > 12 || d.Day < 0 || d.Month == 0 && d.Day != 0 {
		return Date{}, DateSilent, badDate()
	}
	if d.Day > daysIn(d.Year, max(d.Month, 1)) {
		return Date{}, DateSilent, fail("is a day the calendar does not have")
	}
	return d, e, nil
}

// daysIn returns the number of days in a month.
func daysIn(year, month int) int { return dayOf(year, month+1, 0).Day() }

// daysOf returns the number of days in a year.
func daysOf(year int) int { return dayOf(year, 12, 31).YearDay() }

func dayOf(year, month, day int) time.Time {
	return time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
}

// DecimalYear returns the date as a decimal year: the middle of the day, of the
// month or of the year, whichever is known.
func (d Date) DecimalYear() float64 {
	if d.Month == 0 {
		return float64(d.Year) + 0.5
	}
	middle := float64(daysIn(d.Year, d.Month)) / 2
	if d.Day != 0 {
		middle = float64(d.Day) - 0.5
	}
	before := dayOf(d.Year, d.Month, 1).YearDay() - 1
	return float64(d.Year) + (float64(before)+middle)/float64(daysOf(d.Year))
}

// Begin returns the beginning of the day, month or year as a decimal year.
func (d Date) Begin() float64 {
	first := Date{Year: d.Year, Month: max(d.Month, 1), Day: max(d.Day, 1)}
	return first.DecimalYear() - 0.5/float64(daysOf(d.Year))
}

// Precision returns what is known of a date: "day", "month", "year", or "" for
// the zero Date.
func (d Date) Precision() string {
	switch {
	case d.Year == 0:
		return ""
	case d.Month == 0:
		return "year"
	case d.Day == 0:
		return "month"
	}
	return "day"
}

// AddDays returns the date the given number of days later.
func (d Date) AddDays(days int) Date {
	t := dayOf(d.Year, d.Month, d.Day+days)
	return Date{t.Year(), int(t.Month()), t.Day()}
}
