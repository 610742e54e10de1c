package dataset

import (
	"math"
)

// derive finds the derived measures that at least one opening has. Their values
// are worked out whenever they are asked for, which takes as long as copying
// them would: a long log has no room for so many columns more.
func (l *Log) derive() {
	for _, d := range Derived() {
		if d.Name == "made" {
			if l.made != nil {
				l.derived = append(l.derived, l.made)
			}
			continue
		}
		c := &column{name: d.Name, def: d, field: -1, formula: d.formula, rows: len(l.lines)}
		have := make([]float64, len(d.inputs)) // 1 where the log has the input
		for i, name := range d.inputs {
			in := l.find(name)
			if in == nil {
				in = l.inside[name]
			}
			if in != nil && in.class == texts {
				in = nil
			}
			c.inputs = append(c.inputs, in)
			have[i] = 1
			if in == nil {
				have[i] = math.NaN()
			}
		}
		if d.Name == "claimed_particle_size" && l.inside[claimSize] == nil {
			continue // the recorded column is all there is
		}
		for row := 0; row < c.rows && !math.IsNaN(c.formula(have)); row++ {
			if !math.IsNaN(c.at(row)) {
				l.derived = append(l.derived, c)
				break
			}
		}
	}
}

// readInside makes those inputs.
func (l *Log) readInside() {
	l.inside = map[string]*column{}
	add := func(name string, at func(row int) float64) {
		c := &column{name: name, field: -1, num: make([]float64, len(l.lines)), rows: len(l.lines)}
		for row := range c.num {
			c.num[row] = at(row)
		}
		l.inside[name] = c
	}
	nan := math.NaN()
	byWord := func(c *column, value func(string) float64) []float64 {
		out := make([]float64, len(c.words.words))
		for code, word := range c.words.words {
			out[code] = value(word)
		}
		return out
	}
	if len(l.claims) > 0 {
		add(claimSize, func(row int) float64 {
			if k, ok := l.claims[int32(row)]; ok {
				return k.ParticleSize
			}
			return nan
		})
	}
	test := l.byName["claim_test"]
	if test != nil || len(l.claims) > 0 {
		var named []float64
		if test != nil {
			named = byWord(test, func(word string) float64 {
				if word == multiPassTest {
					return 1
				}
				return nan
			})
		}
		add(multiPass, func(row int) float64 {
			switch {
			case l.claims[int32(row)].Beta:
				return 1
			case test != nil:
				return named[test.codes[row]]
			}
			return nan
		})
	}
	if c := l.byName["can_material"]; c != nil {
		density := byWord(c, func(word string) float64 {
			switch word {
			case "", "steel":
				return SteelDensity
			case "aluminium":
				return AluminiumDensity
			}
			return 0
		})
		add(canDensity, func(row int) float64 { return density[c.codes[row]] })
	}
}
