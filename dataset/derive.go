package dataset

import (
	"math"
)

// SteelDensity is the density of unalloyed sheet steel, g/cm³, as handbook
// tables give it.
const SteelDensity = 7.85

// AluminiumDensity is the density of aluminium, g/cm³, as handbook tables give
// it; its sheet alloys lie within 2 % of it.
const AluminiumDensity = 2.70

const (
	mm2PerCm2 = 100.0
	cm2PerM2  = 10000.0
	mmPerCm   = 10.0
)

// derive finds the derived measures that at least one opening has. Their values
// are worked out whenever they are asked for, which takes as long as copying
// them would: a long log has no room for so many columns more.
func (l *Log) derive() {
	for _, d := range derived {
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

// Inputs of formulas that are numbers behind words or inside another cell, and
// no columns of their own.
const (
	claimSize  = "particle size in claimed_efficiency" // µm
	multiPass  = "claim names the multi-pass test"     // 1, else NaN
	canDensity = "density of can_material"             // g/cm³; 0 where it has none to go by
)

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

// at returns the number of one row of a column, worked out for a derived
// measure.
func (c *column) at(row int) float64 {
	if c.formula == nil {
		if c.isAside(row) {
			return math.NaN()
		}
		return c.num[row]
	}
	x := make([]float64, len(c.inputs))
	for i, in := range c.inputs {
		x[i] = math.NaN()
		if in != nil {
			x[i] = in.at(row)
		}
	}
	return c.work(x)
}

// work is the formula of a derived measure, NaN instead of infinite.
func (c *column) work(x []float64) float64 {
	if v := c.formula(x); !math.IsInf(v, 0) {
		return v
	}
	return math.NaN()
}

// values returns the numbers of a column, which may not be changed.
func (c *column) values() []float64 {
	if c.formula == nil && c.aside == nil {
		return c.num
	}
	return c.every(1)
}

// every returns the number of one row in so many, in a slice of its own.
func (c *column) every(step int) []float64 {
	if c.formula == nil {
		out := make([]float64, 0, len(c.num)/step+1)
		for row := 0; row < len(c.num); row += step {
			out = append(out, c.num[row])
		}
		for _, row := range c.aside {
			if int(row)%step == 0 {
				out[int(row)/step] = math.NaN()
			}
		}
		return out
	}
	args := make([][]float64, len(c.inputs))
	for i, in := range c.inputs {
		switch {
		case in == nil:
		case step == 1:
			args[i] = in.values()
		default:
			args[i] = in.every(step)
		}
	}
	out := make([]float64, (c.rows+step-1)/step)
	x := make([]float64, len(args))
	for k := range out {
		for i, a := range args {
			x[i] = math.NaN()
			if a != nil {
				x[i] = a[k]
			}
		}
		out[k] = c.work(x)
	}
	return out
}

// ratio is a/b, NaN where b is not positive.
func ratio(a, b float64) float64 {
	if !(b > 0) {
		return math.NaN()
	}
	return a / b
}
