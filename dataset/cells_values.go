package dataset

import "math"

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

// pick is the column of some rows.
func (c *column) pick(rows []int, place map[int32]int32) *column {
	out := *c
	out.rows, out.num, out.precision = len(rows), some(c.num, rows), some(c.precision, rows)
	out.aside, out.approx, out.own = moved(c.aside, place), moved(c.approx, place), moved(c.own, place)
	out.repeats = nil
	for _, r := range c.repeats {
		if to, ok := place[int32(r.Row)]; ok {
			r.Row = int(to)
			out.repeats = append(out.repeats, r)
		}
	}
	if c.class == texts {
		out.words, out.codes = newInterner(), make([]uint32, len(rows))
		for to, from := range rows {
			out.codes[to] = out.words.code(c.word(from))
		}
	}
	return &out
}

// some are the values of some rows; nil of none.
func some[T any](values []T, rows []int) []T {
	if values == nil {
		return nil
	}
	out := make([]T, len(rows))
	for to, from := range rows {
		out[to] = values[from]
	}
	return out
}

// moved are the rows that were kept, by their new place.
func moved(rows []int32, place map[int32]int32) []int32 {
	var out []int32
	for _, row := range rows {
		if to, ok := place[row]; ok {
			out = append(out, to)
		}
	}
	return out
}

// precisionOf names what is known of the date of a row: "day", "month" or "year",
// "" for none.
func (c *column) precisionOf(row int) string { return precisions[c.precision[row]] }

// word returns the text of one row.
func (c *column) word(row int) string { return c.words.words[c.codes[row]] }

// empty says whether a column holds nothing that was read.
func (c *column) empty() bool {
	if c.class == texts {
		for _, code := range c.codes {
			if code != 0 {
				return false
			}
		}
		return true
	}
	for _, v := range c.num {
		if v == v {
			return false
		}
	}
	return true
}
