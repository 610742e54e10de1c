package render

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/roundup"
)

// Chapter is one part of a roundup's programme, in speaking order.
type Chapter struct {
	ID     string
	Title  string
	Points []string // what is said, each with its numbers
	Charts []string // ids of the charts on screen meanwhile
	Tables []string // ids of the tables that go with it
}

// Ids of the charts and tables that are not those of a ranking.
const (
	RoundupShifts  = "shifts"
	RoundupChanges = "part-changes"
	roundupRecords = "records"
	roundupGaps    = "not-measured-enough"
	roundupNext    = "open-next"
	MakersPrefix   = "makers-"
)

// speaker words a roundup.
type speaker struct {
	r *roundup.Roundup
	u dataset.Units
}

// Chapters puts a roundup in words.
func Chapters(r *roundup.Roundup) []Chapter {
	s := speaker{r, r.Units}
	chapters := []Chapter{{ID: "year", Title: fmt.Sprintf("The year %d in figures", r.Year), Points: append(slices.Clone(r.Notices), s.opened()...)}}
	for _, t := range r.Tables {
		c := Chapter{ID: t.ID, Title: s.tableTitle(t), Points: s.table(t)}
		if !t.TooFew {
			c.Charts, c.Tables = []string{t.ID}, []string{t.ID}
		}
		chapters = append(chapters, c)
	}
	chapters = append(chapters,
		Chapter{ID: RoundupShifts, Title: s.shiftsTitle(), Points: s.shifts(), Charts: []string{RoundupShifts}, Tables: []string{RoundupShifts}},
		Chapter{ID: RoundupChanges, Title: "Parts opened before: what changed in them", Points: s.changes(),
			Charts: []string{RoundupChanges}, Tables: []string{RoundupChanges}})
	makers := Chapter{ID: "makers", Title: "The makers side by side"}
	for _, t := range r.Makers {
		makers.Points = append(makers.Points, s.makers(t)...)
		if !t.TooFew {
			makers.Charts = append(makers.Charts, MakersPrefix+t.ID)
			makers.Tables = append(makers.Tables, MakersPrefix+t.ID)
		}
	}
	return append(chapters, makers,
		Chapter{ID: roundupRecords, Title: "All-time records", Points: s.records(), Tables: []string{roundupRecords}},
		Chapter{ID: roundupGaps, Title: "Not measured often enough to judge", Points: s.gaps(), Tables: []string{roundupGaps}},
		Chapter{ID: roundupNext, Title: "What five openings next year would teach most", Points: s.next(), Tables: []string{roundupNext}},
		Chapter{ID: "caution", Title: "The caution", Points: []string{aboutBuild, aboutPrices, aboutFit}})
}

// Roundup writes the talking points.
func Roundup(t *Text, title string, chapters []Chapter) {
	if title != "" {
		t.Heading(title)
	}
	for i, c := range chapters {
		t.Heading(fmt.Sprintf("%d. %s", i+1, c.Title))
		for _, p := range c.Points {
			t.Item(p)
		}
	}
}

// ChapterList writes the chapters with the files shown meanwhile; file gives the
// name of a chart's file, "" for one that was not drawn.
func ChapterList(w io.Writer, chapters []Chapter, file func(chart string) string) error {
	t := NewText(w, false)
	for i, c := range chapters {
		t.Line(fmt.Sprintf("%2d  %s", i+1, c.Title))
		for _, chart := range c.Charts {
			if name := file(chart); name != "" {
				t.Line("    " + name)
			}
		}
	}
	return t.Err()
}

// opened says what the year brought.
func (s speaker) opened() []string {
	o := s.r.Opened
	points := []string{fmt.Sprintf("In %d the bench opened %s: %s by %s (%s in the log up to the end of that year).",
		s.r.Year, counted(o.Openings, "filter", "filters"), counted(o.Products, "part", "different parts"),
		counted(o.Makers, "maker", "makers"), counted(o.Total, "opening", "openings"))}
	switch {
	case s.r.Before == 0:
		points = append(points, fmt.Sprintf("It is the first year of the log, so there is nothing to compare it with (%s).", counted(o.Openings, "opening", "openings")))
	case o.NewProducts == 0:
		points = append(points, fmt.Sprintf("Every part had been on the bench in an earlier year (%s of %s).", thousands(o.Again), thousands(o.Products)))
	case o.Again == 0:
		points = append(points, fmt.Sprintf("No part had been on the bench before (0 of %d).", o.Products))
	default:
		points = append(points, fmt.Sprintf("New to the bench: %s; opened in an earlier year: %s (of %d).",
			counted(o.NewProducts, "part", "parts"), counted(o.Again, "part", "parts"), o.Products))
	}
	switch {
	case o.Priced == 0:
		points = append(points, "What they cost is not in the log (0 prices).")
	default:
		points = append(points, fmt.Sprintf("One of each opened cost %s together (%s of %s openings have a price; %s on average).",
			quantity(s.u, "price", o.Spent), thousands(o.Priced), thousands(o.Openings), quantity(s.u, "price", o.Spent/float64(o.Priced))))
	}
	if s.r.Before != 0 && o.PricedBefore > 0 {
		points = append(points, fmt.Sprintf("The year compared with is %d (%s, of which %s with a price, %s together).", s.r.Before,
			counted(o.OpeningsBefore, "opening", "openings"), thousands(o.PricedBefore), quantity(s.u, "price", o.SpentBefore)))
	} else if s.r.Before != 0 {
		points = append(points, fmt.Sprintf("The year compared with is %d (%s).", s.r.Before, counted(o.OpeningsBefore, "opening", "openings")))
	}
	if n := len(s.r.Doubtful); n > 0 {
		var where []string
		for _, p := range s.r.Doubtful[:min(n, maxListed)] {
			where = append(where, fmt.Sprintf("line%s%d, %s", nbsp, p.Line, short(trendWords(p.Name))))
		}
		if n > maxListed {
			where = append(where, fmt.Sprintf("%d more", n-maxListed))
		}
		points = append(points, fmt.Sprintf("Readings that look like a slip were left out of every place, record and change: measure them again first (%s).", joined(where)))
	}
	for _, w := range s.r.Warnings {
		points = append(points, sentence(w))
	}
	return points
}

// moved says a signed amount: "+3.4 %", "−0.020 mm"; half is half the width of
// its range.
func (s speaker) moved(column string, relative bool, v, half float64) string {
	sign := "+"
	if v < 0 {
		sign = "−"
	}
	text := ""
	if relative {
		text = fixed(100*math.Abs(v), min(1, decimalsFor(100*half))) + nbsp + "%"
	} else {
		most := s.u.Of(column).Decimals + 1
		if half == 0 || counts(column) && half == math.Trunc(half) {
			most--
		}
		text = precise(s.u, column, math.Abs(v), min(decimalsFor(half*s.u.Of(column).PerBase), most))
	}
	if !hasDigit(text) {
		return text
	}
	return sign + text
}

// hasDigit says whether a number has a digit other than 0.
func hasDigit(s string) bool {
	for _, r := range s {
		if r >= '1' && r <= '9' {
			return true
		}
	}
	return false
}

func (s speaker) movedRange(column string, relative bool, low, high float64) string {
	half := (high - low) / 2
	return range95(oneUnit(s.moved(column, relative, low, half), s.moved(column, relative, high, half)))
}

// oneUnit takes the unit off the first of two quantities where the second
// repeats it: "0.53 to 0.55 mm".
func oneUnit(low, high string) (string, string) {
	number, unit, found := strings.Cut(low, nbsp)
	if found && strings.HasSuffix(high, nbsp+unit) {
		return number, high
	}
	return low, high
}
