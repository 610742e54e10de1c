package price

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/stats/num"
)

// The contents a price is judged by, besides media_area: never the maker. A
// number counts by its logarithm, so that its coefficient is the power of the
// price it goes with.
//
// They do not overlap: of the can either its gauge or its mass per area counts,
// and of the mass what is left without it (see choose). What the box claims is no
// content; it counts on request.
var (
	numbers = []string{canGauge, canMassPerArea, massWithoutCan, totalMass, claimed, canMass}
	words   = []string{mediaType, drainBack, magnet}
)

const (
	canGauge       = "can_gauge"
	canMassPerArea = "can_mass_per_area"
	canMass        = "can_mass"
	massWithoutCan = "mass_without_can"
	totalMass      = "total_mass"
	claimed        = "claimed_efficiency"
	mediaType      = "media_type"
	drainBack      = "drain_back"
	magnet         = "magnet"

	without = "none" // the word for a valve that is not there
)

const (
	// leastValues is the number of products that must have a content for it to
	// be used, leastMembers the number a word must have to stand alone: with
	// fewer, one odd product decides. Common practice, no source.
	leastValues  = 10
	leastMembers = 3

	pooledWord    = "others"
	notRecorded   = "not recorded"
	wireBacked    = "wire-backed synthetic"
	withoutBacked = "synthetic" // what a wire-backed medium counts as where it is rare
)

// column is one column of the regression: a number, or whether the content is
// a certain word.
type column struct {
	content       string
	number        int    // index into numbers, -1 for a word
	word          int    // index into words, -1 for a number
	level         string // of a word
	more          int    // 1 = a higher value is more inside, -1 = less, 0 = neither
	centre, scale float64
}

// coding turns contents into columns: those that the price is judged by, then
// those of the bench that only tell what a blank may hold (a light can a thin
// one).
type coding struct {
	columns  []column
	contents int                 // the number of columns the price is judged by
	level    []map[string]string // by word: the level a word counts as
	area     column              // of log area, for its centre and scale
	warnings []string
}

// choose says which numbers count as contents: of the can what more products
// have, the gauge where both are as many; the mass without the can or, where that
// is not known and nothing is of the can, all of it.
func choose(recorded map[string]int, withClaims bool) []string {
	can := canGauge
	if recorded[canMassPerArea] > recorded[canGauge] {
		can = canMassPerArea
	}
	mass := massWithoutCan
	if recorded[massWithoutCan] < leastValues && recorded[can] < leastValues {
		mass = totalMass
	}
	chosen := []string{can, mass}
	if withClaims {
		chosen = append(chosen, claimed)
	}
	return chosen
}

// newCoding decides which contents are used.
func newCoding(products []product, withClaims bool) coding {
	var c coding
	var few, same []string
	values := map[string][]float64{}
	recorded := map[string]int{}
	for k, name := range numbers {
		for _, p := range products {
			if !math.IsNaN(p.numbers[k]) {
				values[name] = append(values[name], p.numbers[k])
			}
		}
		recorded[name] = len(values[name])
	}
	for _, name := range choose(recorded, withClaims) {
		v := values[name]
		col := standardised(column{content: name, number: slices.Index(numbers, name), word: -1, more: 1}, v)
		switch {
		case len(v) < leastValues:
			few = append(few, fmt.Sprintf("%s (%d)", say(name), len(v)))
		case col.scale == 0:
			same = append(same, say(name))
		default:
			c.columns = append(c.columns, col)
		}
	}
	for k, name := range words {
		levels, of, recorded := poolWords(products, k)
		against := slices.Contains(levels, without) && len(levels) == 2
		c.level = append(c.level, of)
		switch {
		case recorded < leastValues:
			few = append(few, fmt.Sprintf("%s (%d)", say(name), recorded))
			continue
		case len(levels) < 2:
			same = append(same, say(name))
			continue
		case len(levels) == 2:
			levels = levels[1:] // the other is its absence
		}
		for _, level := range levels {
			col := column{content: name, number: -1, word: k, level: level, more: moreInside(name, level, against)}
			var v []float64
			for _, p := range products {
				if x := c.code(col, p); !math.IsNaN(x) {
					v = append(v, x)
				}
			}
			c.columns = append(c.columns, standardised(col, v))
		}
	}
	c.contents = len(c.columns)
	for k, name := range numbers {
		col := standardised(column{content: name, number: k, word: -1}, values[name])
		used := slices.ContainsFunc(c.columns, func(c column) bool { return c.content == name })
		if name != claimed && !used && len(values[name]) >= leastValues && col.scale > 0 {
			c.columns = append(c.columns, col)
		}
	}
	var areas []float64
	for _, p := range products {
		areas = append(areas, p.area)
	}
	c.area = standardised(column{content: "media_area", number: -1, word: -1}, areas)
	if few != nil {
		c.warnings = append(c.warnings, fmt.Sprintf("contents left out of the usual price because fewer than %d products have them: %s", leastValues, strings.Join(few, ", ")))
	}
	if same != nil {
		c.warnings = append(c.warnings, "contents left out of the usual price because (nearly) all products have the same: "+strings.Join(same, ", "))
	}
	return c
}

// moreInside says whether a part with this level has more inside than one
// without: a magnet or a valve at all does. against says that all others have no
// valve.
func moreInside(content, level string, against bool) int {
	switch {
	case content == magnet && level == "yes", content == drainBack && level != without && against:
		return 1
	case content == magnet, content == drainBack && level == without:
		return -1
	}
	return 0
}

func say(name string) string { return strings.ReplaceAll(name, "_", " ") }

// standardised sets centre and scale; a scale of 0 says that all are the same.
func standardised(c column, v []float64) column {
	c.centre, c.scale = num.Mean(v), num.SD(v)
	if !(c.scale > 1e-9*(1+math.Abs(c.centre))) {
		c.scale = 0
	}
	return c
}

// poolWords counts the products by word and returns the levels, sorted, and
// what each word counts as, "" for nothing: words with few products stand
// together, and for nothing where even so they are few.
func poolWords(products []product, k int) (levels []string, of map[string]string, recorded int) {
	count := map[string]int{}
	for _, p := range products {
		if p.words[k] != "" {
			count[p.words[k]]++
			recorded++
		}
	}
	of = map[string]string{}
	pooled := 0
	for word, n := range count {
		switch {
		case n >= leastMembers:
			of[word] = word
		case word == wireBacked && count[withoutBacked] >= leastMembers:
			of[word] = withoutBacked
		default:
			of[word] = pooledWord
			pooled += n
		}
	}
	for word, level := range of {
		switch {
		case level == pooledWord && pooled < leastMembers:
			of[word] = ""
		case !slices.Contains(levels, level):
			levels = append(levels, level)
		}
	}
	slices.Sort(levels)
	return levels, of, recorded
}

// code is the value of a column for a product, before it is standardised.
func (c coding) code(col column, p product) float64 {
	if col.number >= 0 {
		return p.numbers[col.number]
	}
	level := c.level[col.word][p.words[col.word]]
	switch level {
	case "":
		return math.NaN()
	case col.level:
		return 1
	}
	return 0
}

// row codes a product: its log area and its contents, standardised, NaN for
// what is not recorded.
func (c coding) row(p product) []float64 {
	row := []float64{c.standardArea(p.area)}
	for _, col := range c.columns {
		row = append(row, (c.code(col, p)-col.centre)/col.scale)
	}
	return row
}

func (c coding) standardArea(area float64) float64 {
	if c.area.scale == 0 {
		return 0
	}
	return (area - c.area.centre) / c.area.scale
}
