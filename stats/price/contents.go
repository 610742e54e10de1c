package price

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/stats/num"
)

// The contents used besides media_area: never the maker. Numbers enter as
// logarithms, so that a coefficient is an elasticity of the price.
//
// They do not overlap: of the can either its gauge or its mass per area is used,
// and of the mass the rest without the can (see choose). A claim on the box is
// not a content; it is used only on request.
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

	without = "none" // the category of an absent valve
)

const (
	// leastValues is the least number of products that must have a content for it
	// to be used, leastMembers the least number for a category of its own: with
	// fewer, one odd product decides. Common practice, no source.
	leastValues  = 10
	leastMembers = 3

	pooledWord    = "others"
	notRecorded   = "not recorded"
	wireBacked    = "wire-backed synthetic"
	withoutBacked = "synthetic" // category that wire-backed media are counted in where they are rare
)

// column is one column of the regression: a number, or an indicator of one
// category.
type column struct {
	content       string
	number        int    // index into numbers, -1 for a word
	word          int    // index into words, -1 for a number
	level         string // the category; "" for a number
	more          int    // 1 = a higher value means more inside, -1 = less, 0 = neither
	centre, scale float64
}

// coding turns contents into columns: first those in the price regression, then
// auxiliary measures that only help to impute missing values (a light can is a
// thin one).
type coding struct {
	columns  []column
	contents int                 // number of columns in the price regression
	level    []map[string]string // for each entry of words: the level each category is coded as
	area     column              // log media area, for its centre and scale
	warnings []string
}

// choose selects the numbers used as contents: of gauge and mass per area of the
// can the one that more products have (the gauge if equal); and the mass without
// the can, or the total mass where too few products have either that or the can's
// measure.
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

// newCoding selects the contents that are used.
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
			levels = levels[1:] // the other level is the baseline
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

// moreInside reports whether a part with this level has more inside than one
// without (1), less (-1) or neither (0). A magnet is more than none; a valve is
// more than none where against is set: the only other level is no valve.
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

// standardised sets centre and scale; a scale of 0 means that all values are
// equal.
func standardised(c column, v []float64) column {
	c.centre, c.scale = num.Mean(v), num.SD(v)
	if !(c.scale > 1e-9*(1+math.Abs(c.centre))) {
		c.scale = 0
	}
	return c
}

// poolWords counts the products by category and returns the sorted levels and the
// level each category is coded as. Rare categories are pooled, or coded as ""
// (not recorded) where even pooled they are too rare.
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

// code returns the value of a column for a product, before standardisation; NaN
// where it is not recorded.
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

// row returns a product's standardised log area and contents, NaN for what is not
// recorded.
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
