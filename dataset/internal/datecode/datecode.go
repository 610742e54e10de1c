// Package datecode reads the date codes stamped on filters: the week, month or
// day that a code names. Calendar weeks, months and days are those of ISO 8601.
// A code of digits alone is ambiguous: it is read in the one way that gives
// plausible dates for nearly all codes of the same number of digits in the
// column, and not at all if two ways do. A date is plausible if it fits the
// date on which the filter was opened.
package datecode

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"time"

	"pleatstat/dataset/internal/cellparse"
)

// Thresholds for reading a column of date codes.
const (
	// leastCodes is the least number of different codes of one length from
	// which the meaning of their digits can be inferred.
	leastCodes = 3
	// readCodes is the share of the cells with codes of one length for which a
	// reading must give a plausible date.
	readCodes = 0.9
	// rivalCodes: if another reading gives plausible dates for more than this
	// share, none of the codes is read.
	rivalCodes = 0.5
	// monthCodes is the number of different codes from which, if months explain
	// them as well as weeks, they are read as months: the probability that
	// weeks spread over the year all lie in the first twelve is (12/52)^8, one
	// in 120,000.
	monthCodes = 8
	// shelfYears is the longest time in years between manufacture and opening.
	// MadeGrace is how much later than the opening a code may lie, in years,
	// since some codes name the week for which production was planned. Common
	// practice, no source.
	shelfYears = 10.0
	MadeGrace  = 14 / 365.25
)

// Span is the span of time that a code names, in decimal years; NaN for a code
// that was not read.
type Span struct{ From, To float64 }

// Known reports whether the code was read.
func (d Span) Known() bool { return d.From == d.From }

var noDate = Span{math.NaN(), math.NaN()}

// span returns the given number of months and days from a start.
func span(start time.Time, months, days int) Span {
	return Span{decimalYear(start), decimalYear(start.AddDate(0, months, days))}
}

func decimalYear(t time.Time) float64 {
	start := time.Date(t.Year(), time.January, 1, 0, 0, 0, 0, time.UTC)
	return float64(t.Year()) + t.Sub(start).Hours()/start.AddDate(1, 0, 0).Sub(start).Hours()
}

func weekOf(year, week int) Span {
	if week < 1 || week > 53 || !knownYear(year) {
		return noDate
	}
	// ISO 8601: week 1 contains 4 January, and weeks begin on Monday.
	fourth := time.Date(year, time.January, 4, 0, 0, 0, 0, time.UTC)
	monday := fourth.AddDate(0, 0, -(int(fourth.Weekday())+6)%7+7*(week-1))
	return span(monday, 0, 7)
}

func monthOf(year, month int) Span {
	if month < 1 || month > 12 || !knownYear(year) {
		return noDate
	}
	return span(time.Date(year, time.Month(month), 1, 0, 0, 0, 0, time.UTC), 1, 0)
}

// dayOf returns a day by its number in the year ("Julian" day in the trade;
// ordinal date in ISO 8601).
func dayOf(year, day int) Span {
	start := time.Date(year, time.January, day, 0, 0, 0, 0, time.UTC)
	if day < 1 || start.Year() != year || !knownYear(year) {
		return noDate
	}
	return span(start, 0, 1)
}

func dateOf(year, month, day int) Span {
	start := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	if start.Day() != day || int(start.Month()) != month || !knownYear(year) {
		return noDate
	}
	return span(start, 0, 1)
}

func knownYear(y int) bool { return y >= cellparse.FirstYear && y <= cellparse.LastYear }

// Codes with one meaning, whatever the rest of the column holds: ISO 8601
// weeks, months and days, and numbers marked as weeks. bareCode matches the
// others: digits with or without letters around them.
var (
	isoWeek   = regexp.MustCompile(`^((?:19|20)\d\d)[ /.-]?(?:W|KW|WK)\s?(\d{1,2})$`)
	namedWeek = regexp.MustCompile(`^(?:W|KW|WK|WEEK)\s?(\d{1,2})\s?[ /.-]\s?((?:19|20)?\d\d)$`)
	isoMonth  = regexp.MustCompile(`^((?:19|20)\d\d)-(\d\d)$`)
	isoDay    = regexp.MustCompile(`^((?:19|20)\d\d)-(\d\d)-(\d\d)$`)
	bareCode  = regexp.MustCompile(`^[A-Z]{0,2}[ -]?(\d+)(?:\s?[ /.-]\s?(\d+))?[ -]?[A-Z]{0,2}$`)
)

// plainDate reads a code that has only one meaning.
func plainDate(code string) (Span, bool) {
	number := func(s string) int { return at(s, 0, len(s)) }
	var d Span
	if m := isoWeek.FindStringSubmatch(code); m != nil {
		d = weekOf(number(m[1]), number(m[2]))
	} else if m := namedWeek.FindStringSubmatch(code); m != nil {
		year := number(m[2])
		if len(m[2]) == 2 {
			year = cellparse.Century(year)
		}
		d = weekOf(year, number(m[1]))
	} else if m := isoMonth.FindStringSubmatch(code); m != nil {
		d = monthOf(number(m[1]), number(m[2]))
	} else if m := isoDay.FindStringSubmatch(code); m != nil {
		d = dateOf(number(m[1]), number(m[2]), number(m[3]))
	} else {
		return noDate, false
	}
	return d, d.Known()
}

// codeDigits returns the digits of a code without the plant or line letters
// around them. A single digit gets a leading zero: A 40/18 is 4018, 4/18 is
// 0418. It returns "" for any other text.
func codeDigits(code string) string {
	m := bareCode.FindStringSubmatch(code)
	if m == nil {
		return ""
	}
	for i := 1; i < len(m); i++ {
		if len(m[i]) == 1 {
			m[i] = "0" + m[i]
		}
	}
	return m[1] + m[2]
}

// Code is one of the distinct codes of a column.
type Code struct {
	Text   string
	Cells  int     // cells that hold it
	Opened float64 // earliest opening of a filter with this code, in decimal years; NaN if unknown
}

// Doubt reports codes of one length that could mean two things.
type Doubt struct {
	Text    string // one of them
	Message string
}

// Read returns the span of time that each code of a column names. Codes with
// Cells = 0 are ignored. open marks the codes that could mean two things;
// doubts explains them.
func Read(codes []Code) (read []Span, open []bool, doubts []Doubt) {
	read, open = make([]Span, len(codes)), make([]bool, len(codes))
	digits := make([]string, len(codes))
	shapes := map[int][]int{} // indexes of codes, by number of digits
	for i, c := range codes {
		read[i] = noDate
		if c.Cells == 0 {
			continue
		}
		text := strings.ToUpper(c.Text)
		if d, ok := plainDate(text); ok {
			read[i] = d
		} else if digits[i] = codeDigits(text); ways(len(digits[i])) != nil {
			shapes[len(digits[i])] = append(shapes[len(digits[i])], i)
		}
	}
	for length := 4; length <= 8; length++ {
		shape := shapes[length]
		way, other := settleShape(codes, shape, digits)
		if other != nil {
			doubts = append(doubts, Doubt{codes[shape[0]].Text,
				fmt.Sprintf("codes like this could be %s or %s; none of them is read as a date. Write the week as 2018-W40 or the month as 2018-10", way.name, other.name)})
		}
		for _, i := range shape {
			if open[i] = other != nil; way != nil && !open[i] {
				read[i] = way.read(digits[i], codes[i].Opened)
			}
		}
	}
	return read, open, doubts
}

// settleShape decides what the codes of one length mean. way is nil if that
// cannot be inferred; other is a second meaning that is possible too.
func settleShape(codes []Code, shape []int, digits []string) (way, other *wayOfReading) {
	if len(shape) < leastCodes {
		return nil, nil
	}
	ways, total := ways(len(digits[shape[0]])), 0
	for _, i := range shape {
		total += codes[i].Cells
	}
	share := make([]float64, len(ways))
	for k, way := range ways {
		sense := 0
		for _, i := range shape {
			if plausible(way.read(digits[i], codes[i].Opened), codes[i].Opened) {
				sense += codes[i].Cells
			}
		}
		share[k] = float64(sense) / float64(total)
	}
	best := 0
	for k := range ways {
		if share[k] > share[best] {
			best = k
		}
	}
	if share[best] < readCodes {
		return nil, nil
	}
	week := -1 // index of the reading as weeks, if months replace it
	if month := asMonths(ways, best); month >= 0 && share[month] == share[best] && len(shape) >= monthCodes {
		best, week = month, best
	}
	for k := range ways {
		if k != best && k != week && share[k] > rivalCodes {
			return &ways[best], &ways[k]
		}
	}
	return &ways[best], nil
}

// asMonths returns the index of the reading as months that corresponds to a
// reading as weeks, -1 if there is none.
func asMonths(ways []wayOfReading, k int) int {
	name := strings.Replace(ways[k].name, "week", "month", 1)
	return slices.IndexFunc(ways, func(w wayOfReading) bool { return w.name == name && name != ways[k].name })
}

// plausible reports whether a filter opened at that time can have been made in
// the span.
func plausible(d Span, opened float64) bool {
	if !d.Known() {
		return false
	}
	if opened != opened {
		return true
	}
	return d.From <= opened+MadeGrace && d.To >= opened-shelfYears
}
