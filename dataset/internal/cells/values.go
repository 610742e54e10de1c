package cells

import "math"

// At returns the number of one row, computed for a derived measure. It is NaN
// for a cell set aside.
func (c *Column) At(row int) float64 {
	if c.Formula == nil {
		if c.IsAside(row) {
			return math.NaN()
		}
		return c.Num[row]
	}
	x := make([]float64, len(c.Inputs))
	for i, in := range c.Inputs {
		x[i] = math.NaN()
		if in != nil {
			x[i] = in.At(row)
		}
	}
	return c.work(x)
}

// work applies the formula of a derived measure, with NaN for an infinite
// result.
func (c *Column) work(x []float64) float64 {
	if v := c.Formula(x); !math.IsInf(v, 0) {
		return v
	}
	return math.NaN()
}

// Values returns the numbers of a column. The caller must not change the slice.
func (c *Column) Values() []float64 {
	if c.Formula == nil && c.Aside == nil {
		return c.Num
	}
	return c.Every(1)
}

// Every returns the numbers of every step-th row in a new slice.
func (c *Column) Every(step int) []float64 {
	if c.Formula == nil {
		out := make([]float64, 0, len(c.Num)/step+1)
		for row := 0; row < len(c.Num); row += step {
			out = append(out, c.Num[row])
		}
		for _, row := range c.Aside {
			if int(row)%step == 0 {
				out[int(row)/step] = math.NaN()
			}
		}
		return out
	}
	args := make([][]float64, len(c.Inputs))
	for i, in := range c.Inputs {
		switch {
		case in == nil:
		case step == 1:
			args[i] = in.Values()
		default:
			args[i] = in.Every(step)
		}
	}
	out := make([]float64, (c.Rows+step-1)/step)
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

// Pick returns the column for some rows, in the order given. place maps each
// old row to its new one.
func (c *Column) Pick(rows []int, place map[int32]int32) *Column {
	out := *c
	out.Rows, out.Num, out.Precision = len(rows), AtRows(c.Num, rows), AtRows(c.Precision, rows)
	out.Aside, out.Approx, out.Own = moved(c.Aside, place), moved(c.Approx, place), moved(c.Own, place)
	out.Repeats = nil
	for _, r := range c.Repeats {
		if to, ok := place[int32(r.Row)]; ok {
			r.Row = int(to)
			out.Repeats = append(out.Repeats, r)
		}
	}
	if c.Class == Texts {
		out.Words, out.Codes = NewWords(), make([]uint32, len(rows))
		for to, from := range rows {
			out.Codes[to] = out.Words.Code(c.Word(from))
		}
	}
	return &out
}

// AtRows returns the values of some rows; nil if values is nil.
func AtRows[T any](values []T, rows []int) []T {
	if values == nil {
		return nil
	}
	out := make([]T, len(rows))
	for to, from := range rows {
		out[to] = values[from]
	}
	return out
}

// moved returns the new indexes of those rows that were kept.
func moved(rows []int32, place map[int32]int32) []int32 {
	var out []int32
	for _, row := range rows {
		if to, ok := place[row]; ok {
			out = append(out, to)
		}
	}
	return out
}

// PrecisionOf returns the precision of the date of a row: "day", "month" or
// "year", "" if there is no date.
func (c *Column) PrecisionOf(row int) string { return precisions[c.Precision[row]] }

// Word returns the text of one row.
func (c *Column) Word(row int) string { return c.Words.List[c.Codes[row]] }

// Filled returns the number of rows with a usable value.
func (c *Column) Filled() int {
	n := 0
	for _, code := range c.Codes {
		if code != 0 {
			n++
		}
	}
	if c.Class == Texts {
		return n
	}
	for _, v := range c.Values() {
		if !math.IsNaN(v) {
			n++
		}
	}
	return n
}
