package dataset

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
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

// codeDate is the span of time one code names, in decimal years; NaN where it
// is not read.
type codeDate struct{ from, to float64 }

var noDate = codeDate{math.NaN(), math.NaN()}

func daySpan(year int, month time.Month, day, days int) codeDate {
	start := time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
	return codeDate{decimalYear(start), decimalYear(start.AddDate(0, 0, days))}
}

func decimalYear(t time.Time) float64 {
	start := time.Date(t.Year(), time.January, 1, 0, 0, 0, 0, time.UTC)
	return float64(t.Year()) + t.Sub(start).Hours()/start.AddDate(1, 0, 0).Sub(start).Hours()
}

func weekOf(year, week int) codeDate {
	if week < 1 || week > 53 || !knownYear(year) {
		return noDate
	}
	// ISO 8601: week 1 holds the fourth of January, and begins on Monday.
	fourth := time.Date(year, time.January, 4, 0, 0, 0, 0, time.UTC)
	monday := fourth.AddDate(0, 0, -(int(fourth.Weekday())+6)%7+7*(week-1))
	return daySpan(monday.Year(), monday.Month(), monday.Day(), 7)
}

func monthOf(year, month int) codeDate {
	if month < 1 || month > 12 || !knownYear(year) {
		return noDate
	}
	start := time.Date(year, time.Month(month), 1, 0, 0, 0, 0, time.UTC)
	return codeDate{decimalYear(start), decimalYear(start.AddDate(0, 1, 0))}
}

// dayOf is a day by its number in the year, as some codes write it ("Julian"
// day in the trade; ISO 8601 ordinal date).
func dayOf(year, day int) codeDate {
	start := time.Date(year, time.January, day, 0, 0, 0, 0, time.UTC)
	if day < 1 || start.Year() != year || !knownYear(year) {
		return noDate
	}
	return daySpan(year, time.January, day, 1)
}

func dateOf(year, month, day int) codeDate {
	start := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	if start.Day() != day || int(start.Month()) != month || !knownYear(year) {
		return noDate
	}
	return daySpan(year, time.Month(month), day, 1)
}

func knownYear(y int) bool { return y >= cellparse.FirstYear && y <= cellparse.LastYear }

// century gives a year of two digits its century.
func century(y int) int {
	if y >= 70 {
		return 1900 + y
	}
	return 2000 + y
}

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
func plainDate(code string) (codeDate, bool) {
	number := func(s string) int { return at(s, 0, len(s)) }
	var d codeDate
	if m := isoWeek.FindStringSubmatch(code); m != nil {
		d = weekOf(number(m[1]), number(m[2]))
	} else if m := namedWeek.FindStringSubmatch(code); m != nil {
		year := number(m[2])
		if len(m[2]) == 2 {
			year = century(year)
		}
		d = weekOf(year, number(m[1]))
	} else if m := isoMonth.FindStringSubmatch(code); m != nil {
		d = monthOf(number(m[1]), number(m[2]))
	} else if m := isoDay.FindStringSubmatch(code); m != nil {
		d = dateOf(number(m[1]), number(m[2]), number(m[3]))
	} else {
		return noDate, false
	}
	return d, d.from == d.from
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

// readCodes reads the date codes as dates, where the column as a whole shows
// what they mean, and says once what cannot be read.
func (l *Log) readCodes() {
	c := l.byName["date_code"]
	if c == nil || c.class != texts {
		return
	}
	words := c.words.words
	cells, opened := make([]int, len(words)), make([]float64, len(words))
	first := make([]int, len(words))
	dates := l.byName["opened"]
	for row, code := range c.codes {
		if cells[code]++; cells[code] == 1 {
			first[code], opened[code] = row, math.NaN()
		}
		if dates != nil && !(opened[code] <= dates.num[row]) {
			if v := dates.num[row]; v == v {
				opened[code] = v // the earliest of those with this code
			}
		}
	}
	read := make([]codeDate, len(words))
	digits := make([]string, len(words))
	shapes := map[int][]int{} // words by number of digits
	for w := range words {
		read[w] = noDate
		if w == 0 || cells[w] == 0 {
			continue
		}
		text := strings.ToUpper(words[w])
		if d, ok := plainDate(text); ok {
			read[w] = d
		} else if digits[w] = codeDigits(text); ways(len(digits[w])) != nil {
			shapes[len(digits[w])] = append(shapes[len(digits[w])], w)
		}
	}
	open := make([]bool, len(words))
	for length := 4; length <= 8; length++ {
		l.readShape(c, shapes[length], digits, cells, opened, read, open)
	}
	l.keepMade(c, read, cells, first, open)
}

// readShape decides what codes of one number of digits mean; open marks those
// that were said to mean two things.
func (l *Log) readShape(c *column, shape []int, digits []string, cells []int, opened []float64, read []codeDate, open []bool) {
	if len(shape) < leastCodes {
		return
	}
	ways, total := ways(len(digits[shape[0]])), 0
	for _, w := range shape {
		total += cells[w]
	}
	share := make([]float64, len(ways))
	for k, way := range ways {
		sense := 0
		for _, w := range shape {
			if plausible(way.read(digits[w], opened[w]), opened[w]) {
				sense += cells[w]
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
		return
	}
	week := -1 // the same digits read as weeks
	if month := asMonths(ways, best); month >= 0 && share[month] == share[best] && len(shape) >= monthCodes {
		best, week = month, best
	}
	for k, way := range ways {
		if k != best && k != week && share[k] > rivalCodes {
			l.problem(Problem{Line: l.layout.line, Column: c.field + 1, Name: c.name, Text: c.words.words[shape[0]], Severity: Note,
				Message: fmt.Sprintf("codes like this could be %s or %s; none of them is read as a date. Write the week as 2018-W40 or the month as 2018-10", ways[best].name, way.name)})
			for _, w := range shape {
				open[w] = true
			}
			return
		}
	}
	for _, w := range shape {
		read[w] = ways[best].read(digits[w], opened[w])
	}
}

// asMonths is the way that reads months where another reads weeks, -1 for none.
func asMonths(ways []wayOfReading, k int) int {
	name := strings.Replace(ways[k].name, "week", "month", 1)
	return slices.IndexFunc(ways, func(w wayOfReading) bool { return w.name == name && name != ways[k].name })
}

// plausible says whether a filter can have been made then.
func plausible(d codeDate, opened float64) bool {
	if d.from != d.from {
		return false
	}
	if opened != opened {
		return true
	}
	return d.from <= opened+MadeGrace && d.to >= opened-shelfYears
}

// keepMade makes the column of dates and says how many codes are none.
func (l *Log) keepMade(c *column, read []codeDate, cells, first []int, open []bool) {
	var left unread
	dated, total := 0, 0
	for _, w := range byFirst(cells, first) {
		total += cells[w]
		if read[w].from == read[w].from {
			dated += cells[w]
			continue
		}
		if open[w] {
			continue
		}
		left.add(int(l.lines[first[w]]), c.words.words[w])
		left.cells += cells[w] - 1
	}
	if left.cells > 0 {
		l.problem(Problem{Line: l.layout.line, Column: c.field + 1, Name: c.name, Text: left.text, Severity: Note,
			Message: fmt.Sprintf("%s of %d codes can't be read as a date and stay text, the first in line %d", figure(left.cells), total, left.line)})
	}
	if dated == 0 {
		return
	}
	l.codes = read
	def := derived[slices.IndexFunc(derived, func(d Column) bool { return d.Name == "made" })]
	l.made = &column{name: def.Name, def: def, field: -1, rows: len(l.lines), num: make([]float64, len(l.lines))}
	for row, code := range c.codes {
		l.made.num[row] = (read[code].from + read[code].to) / 2
	}
}

func figure(n int) string {
	if n == 1 {
		return "one"
	}
	return strconv.Itoa(n)
}

// byFirst lists the words that stand in cells, in the order of the log.
func byFirst(cells, first []int) []int {
	var out []int
	for w := 1; w < len(cells); w++ {
		if cells[w] > 0 {
			out = append(out, w)
		}
	}
	slices.SortFunc(out, func(a, b int) int { return first[a] - first[b] })
	return out
}

// Made returns the span of time in which a filter was made by its date code,
// in decimal years: a day, a week or a month. It is false where no code was
// read.
func (l *Log) Made(row int) (from, to float64, ok bool) {
	if l.made == nil || row < 0 || row >= len(l.made.num) || math.IsNaN(l.made.num[row]) {
		return math.NaN(), math.NaN(), false
	}
	d := l.codes[l.byName["date_code"].codes[row]]
	return d.from, d.to, true
}
