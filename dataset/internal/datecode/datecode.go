// Package datecode reads the date codes on filters: which week, month or day a code
// names. Calendar weeks, months and days are those of ISO 8601; digits alone mean what
// makes sense of nearly all codes of their shape, and nothing where two ways of reading
// do. The opening of the filter bounds when it can have been made.
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

// Thresholds by which a column of date codes is read.
const (
	// leastCodes: fewer different codes of one shape cannot show what their
	// digits mean.
	leastCodes = 3
	// readCodes is the share of the cells of one shape that a way of reading
	// must make sense of: made before it was opened, and not long before.
	readCodes = 0.9
	// rivalCodes: where another way makes sense of more than this share, and
	// gives other dates, nothing is read.
	rivalCodes = 0.5
	// monthCodes: so many different codes of which none goes beyond 12 are months;
	// were they weeks spread over the year, all would lie in the first twelve
	// with a chance of (12/52)^8, one in 120,000.
	monthCodes = 8
	// shelfYears is how long a filter may have lain before it was opened, and
	// MadeGrace how many years later than opened a code may lie: a code may name
	// the week it was meant for. Common practice, no source.
	shelfYears = 10.0
	MadeGrace  = 14 / 365.25
)

// Span is the span of time one code names, in decimal years; NaN where it
// is not read.
type Span struct{ From, To float64 }

// Known says whether the code was read.
func (d Span) Known() bool { return d.From == d.From }

var noDate = Span{math.NaN(), math.NaN()}

// span is so many months and days from a day on.
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
	// ISO 8601: week 1 holds the fourth of January, and begins on Monday.
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

// dayOf is a day by its number in the year, as some codes write it ("Julian"
// day in the trade; ISO 8601 ordinal date).
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

// Codes that mean one thing whatever the rest of the column holds: ISO 8601
// weeks, months and days, and weeks named as such.
var (
	isoWeek   = regexp.MustCompile(`^((?:19|20)\d\d)[ /.-]?(?:W|KW|WK)\s?(\d{1,2})$`)
	namedWeek = regexp.MustCompile(`^(?:W|KW|WK|WEEK)\s?(\d{1,2})\s?[ /.-]\s?((?:19|20)?\d\d)$`)
	isoMonth  = regexp.MustCompile(`^((?:19|20)\d\d)-(\d\d)$`)
	isoDay    = regexp.MustCompile(`^((?:19|20)\d\d)-(\d\d)-(\d\d)$`)
	bareCode  = regexp.MustCompile(`^[A-Z]{0,2}[ -]?(\d+)(?:\s?[ /.-]\s?(\d+))?[ -]?[A-Z]{0,2}$`)
)

// plainDate reads a code that means one thing by itself.
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

// codeDigits are the digits of a code without the letters of plant or line
// before and behind them, single digits between marks filled up: W 40/18 is
// 4018, 4/18 is 0418. "" where it is no such code.
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

// Code is one of the different codes of a column.
type Code struct {
	Text   string
	Cells  int     // in which it stands
	Opened float64 // the earliest opening of a filter that bears it, in decimal years; NaN = not known
}

// Doubt is a shape of codes that could mean two things.
type Doubt struct {
	Text    string // one of them
	Message string
}

// Read reads the codes of a column, those of 0 cells left out, as the spans of
// time they name. Open marks those that could mean two things; the doubts say which.
func Read(codes []Code) (read []Span, open []bool, doubts []Doubt) {
	read, open = make([]Span, len(codes)), make([]bool, len(codes))
	digits := make([]string, len(codes))
	shapes := map[int][]int{} // codes by number of digits
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

// settleShape decides what codes of one number of digits mean: nil where that is
// not known, and a second way where they could mean that as well.
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
	week := -1 // the same digits read as weeks
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

// asMonths is the way that reads months where another reads weeks, -1 for none.
func asMonths(ways []wayOfReading, k int) int {
	name := strings.Replace(ways[k].name, "week", "month", 1)
	return slices.IndexFunc(ways, func(w wayOfReading) bool { return w.name == name && name != ways[k].name })
}

// plausible says whether a filter can have been made then.
func plausible(d Span, opened float64) bool {
	if !d.Known() {
		return false
	}
	if opened != opened {
		return true
	}
	return d.From <= opened+MadeGrace && d.To >= opened-shelfYears
}
