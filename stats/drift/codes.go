package drift

import (
	"math"
	"time"

	"pleatstat/dataset"
)

const (
	// leastOrigins is the least number of openings with a country of origin on
	// either side of a change.
	leastOrigins = 2
	// sameOrigin is the share of them that must agree: a country may be misread.
	sameOrigin = 0.9
)

// codes adds to a change what is printed on the filters: between which dates it
// came by their date codes, and whether the country of origin changed with the
// readings. Only changes with a date have this: a slope over all the years has no
// beginning.
func (k *candidate) codes(log *dataset.Log) {
	if !k.Moved() || k.Statement.From.IsZero() || k.m.scale == toMarket {
		return
	}
	then, now := k.sides()
	if made := log.Floats("made"); made != nil && k.DatedBy == byOpening && k.Statement.Shape == AsStep {
		last, first := math.Inf(-1), math.Inf(1)
		for _, row := range then {
			if at := made[row]; at > last { // false for NaN
				last = at
			}
		}
		for _, row := range now {
			if at := made[row]; at < first {
				first = at
			}
		}
		if !math.IsInf(last, 0) && !math.IsInf(first, 0) && last < first {
			k.Statement.MadeAfter, k.Statement.MadeBefore = toTime(last), toTime(first)
		}
	}
	if log.Strings("origin") == nil {
		return
	}
	was, before := commonest(log, then)
	is, after := commonest(log, now)
	share := func(counts map[string]int, word string) float64 {
		return float64(counts[word]) / float64(total(counts))
	}
	switch {
	case min(total(before), total(after)) < leastOrigins, is == was,
		share(after, is) < sameOrigin, share(before, is) > 1-sameOrigin:
		return
	case share(before, was) >= sameOrigin:
		k.Statement.OriginThen = was
	}
	k.Statement.OriginNow = is
}

// sides returns the rows before the earliest date of a change and from its latest
// date on.
func (k *candidate) sides() (then, now []int) {
	early, late := Year(k.Statement.Early), Year(k.Statement.Late)
	if k.Statement.Early.IsZero() || k.Statement.Late.IsZero() {
		early, late = Year(k.Statement.From), Year(k.Statement.From)
	}
	const day = 1 / 365.25 // dates of a change are rounded to the day
	for _, b := range k.blocks {
		for _, at := range b.at {
			switch when := k.o.when[at]; {
			case when < early-day/2:
				then = append(then, k.o.rows[at])
			case when > late-day:
				now = append(now, k.o.rows[at])
			}
		}
	}
	return then, now
}

// commonest returns the most frequent country of origin of some openings, and the
// counts of all.
func commonest(log *dataset.Log, rows []int) (word string, counts map[string]int) {
	counts = map[string]int{}
	for _, row := range rows {
		w := log.Word(row, "origin")
		if w == "" {
			continue
		}
		counts[w]++
		if n := counts[w]; n > counts[word] || n == counts[word] && w < word {
			word = w
		}
	}
	return word, counts
}

func total(counts map[string]int) int {
	n := 0
	for _, c := range counts {
		n += c
	}
	return n
}

// DatedByCode reports whether the entry is dated by the date codes.
func (e Entry) DatedByCode() bool { return e.DatedBy == byCode }

// MadeBetween reports whether the date codes show when a change came.
func (t Statement) MadeBetween() bool { return t.MadeAfter != time.Time{} }
