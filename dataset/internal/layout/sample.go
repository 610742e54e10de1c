package layout

import (
	"errors"
	"io"
	"math"
	"slices"
	"strings"
	"unicode"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/sheet"
	"pleatstat/dataset/internal/units"
)

// sampleRows is the number of rows examined if a header is ambiguous.
const sampleRows = 300

// sample describes the first cells of one field.
type sample struct {
	numbers []float64 // numbers, in the unit written
	words   []string  // other cells that are not blank
	unit    string    // a unit written in most of the numeric cells
}

// samples examines the first rows below the header.
func (l *Layout) samples(text *sheet.Text) ([]sample, error) {
	out := make([]sample, len(l.Headings))
	count := make([]map[string]int, len(out))
	records := text.Records(l.Comma, l.Offset, l.Next)
	var read []cellparse.Number
	for range sampleRows {
		rec, err := records.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		for i, cell := range rec.Fields[:min(len(rec.Fields), len(out))] {
			if rec.Broken != "" || cellparse.IsBlank(cell) {
				continue
			}
			if read, err = cellparse.ParseReadings(read[:0], cell, cellparse.Point); err != nil {
				read, err = cellparse.ParseReadings(read[:0], cell, cellparse.Comma)
			}
			if err != nil || len(read) == 0 {
				out[i].words = append(out[i].words, strings.Clone(cell))
				continue
			}
			out[i].numbers = append(out[i].numbers, read[0].Value)
			if read[0].Unit != "" {
				if count[i] == nil {
					count[i] = map[string]int{}
				}
				if count[i][read[0].Unit]++; 2*count[i][read[0].Unit] > len(out[i].numbers) {
					out[i].unit = strings.Clone(read[0].Unit)
				}
			}
		}
	}
	return out, nil
}

// numeric reports whether most cells hold a number.
func (s sample) numeric() bool { return len(s.numbers) > len(s.words) }

// middle returns the median of the numbers (the upper of the two middle ones
// for an even number), NaN for none.
func (s sample) middle() float64 {
	if len(s.numbers) == 0 {
		return math.NaN()
	}
	v := slices.Sorted(slices.Values(s.numbers))
	return v[len(v)/2]
}

// cellsOf returns the number of cells that are not blank.
func (s sample) cellsOf() int { return len(s.numbers) + len(s.words) }

// distinct returns the number of different words.
func (s sample) distinct() int {
	seen := map[string]bool{}
	for _, w := range s.words {
		seen[w] = true
	}
	return len(seen)
}

// mostly reports whether more than half of the cells are words with a property.
func (s sample) mostly(is func(word string) bool) bool {
	n := 0
	for _, w := range s.words {
		if is(w) {
			n++
		}
	}
	return 2*n > s.cellsOf()
}

// likePart reports whether most cells mix letters and digits, as part numbers
// do; likeMaker whether they are a few repeated names without digits.
func (s sample) likePart() bool {
	return s.mostly(func(w string) bool {
		return strings.ContainsFunc(w, unicode.IsDigit) && strings.ContainsFunc(w, unicode.IsLetter) && len(w) < 25
	})
}

func (s sample) likeMaker() bool {
	names := s.mostly(func(w string) bool { return !strings.ContainsFunc(w, unicode.IsDigit) && len(w) < 30 })
	return names && s.distinct() > 1 && 3*s.distinct() <= 2*max(s.cellsOf(), 6)
}

// fits reports whether the cells may be those of a column whose header names a
// unit ("" if none): words for a text or category, and for a measure numbers
// whose median is in the column's usual range, in a unit of one of the given
// systems.
func (s sample) fits(c catalogue.Column, unit string, systems []units.System) bool {
	d, measured := c.Kind.Dimension()
	switch {
	case c.Kind == catalogue.KindCategory || c.Kind == catalogue.KindText:
		return !s.numeric()
	case !s.numeric():
		return false
	case c.Kind == catalogue.KindMoney:
		return cellparse.IsCurrency(unit) || cellparse.IsCurrency(s.unit)
	}
	span := c.Typical
	if span == (catalogue.Range{}) {
		span = c.Common
	}
	if span == (catalogue.Range{}) {
		return true
	}
	within := func(v float64) bool { return v >= span.Low && v <= span.High }
	if !measured {
		return within(s.middle())
	}
	if unit == "" {
		unit = s.unit
	}
	if u, ok := units.Find(strings.TrimSuffix(unit, "."), d); ok {
		return within(s.middle() * u.Base)
	}
	if unit != "" {
		return false
	}
	for _, name := range c.Kind.AssumedUnits() {
		u, _ := units.Find(name, d)
		if within(s.middle()*u.Base) && (len(systems) == 0 || slices.Contains(systems, u.System)) {
			return true
		}
	}
	return c.Kind.AssumedUnits() == nil && within(s.middle())
}
