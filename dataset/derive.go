package dataset

import (
	"math"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cells"
)

// derive lists the derived measures that at least one opening has. Their values
// are computed on each use: that takes no longer than copying them, and storing
// them would multiply the memory a long log needs.
func (l *Log) derive() {
	for d := range catalogue.Derived() {
		if d.Name == "made" {
			if l.made != nil {
				l.derived = append(l.derived, l.made)
			}
			continue
		}
		c := &cells.Column{Name: d.Name, Def: d, Field: -1, Formula: d.Formula, Rows: len(l.lines)}
		have := make([]float64, len(d.Inputs)) // 1 where the log has the input
		for i, name := range d.Inputs {
			in := l.find(name)
			if in == nil {
				in = l.inside[name]
			}
			if in != nil && in.Class == cells.Texts {
				in = nil
			}
			c.Inputs = append(c.Inputs, in)
			have[i] = 1
			if in == nil {
				have[i] = math.NaN()
			}
		}
		if d.Name == "claimed_particle_size" && l.inside[catalogue.ClaimSize] == nil {
			continue // only the recorded column exists
		}
		for row := 0; row < c.Rows && !math.IsNaN(c.Formula(have)); row++ {
			if !math.IsNaN(c.At(row)) {
				l.derived = append(l.derived, c)
				break
			}
		}
	}
}

// readInside prepares the formula inputs that are not columns themselves.
func (l *Log) readInside() {
	l.inside = map[string]*cells.Column{}
	add := func(name string, at func(row int) float64) {
		c := &cells.Column{Name: name, Field: -1, Num: make([]float64, len(l.lines)), Rows: len(l.lines)}
		for row := range c.Num {
			c.Num[row] = at(row)
		}
		l.inside[name] = c
	}
	nan := math.NaN()
	byWord := func(c *cells.Column, value func(string) float64) []float64 {
		out := make([]float64, len(c.Words.List))
		for code, word := range c.Words.List {
			out[code] = value(word)
		}
		return out
	}
	if len(l.claims) > 0 {
		add(catalogue.ClaimSize, func(row int) float64 {
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
				if word == catalogue.MultiPassTest {
					return 1
				}
				return nan
			})
		}
		add(catalogue.MultiPass, func(row int) float64 {
			switch {
			case l.claims[int32(row)].Beta:
				return 1
			case test != nil:
				return named[test.Codes[row]]
			}
			return nan
		})
	}
	if c := l.byName["can_material"]; c != nil {
		density := byWord(c, func(word string) float64 {
			switch word {
			case "", "steel":
				return catalogue.SteelDensity
			case "aluminium":
				return catalogue.AluminiumDensity
			}
			return 0
		})
		add(catalogue.CanDensity, func(row int) float64 { return density[c.Codes[row]] })
	}
}
