// Package imputation answers "what are the missing values of a table likely to be,
// and how uncertain are they?".
//
// Rows are draws from a multivariate normal distribution whose mean and covariance
// are estimated by the EM algorithm (A. P. Dempster, N. M. Laird and D. B. Rubin
// (1977), J. R. Statist. Soc. B 39, 1-38); a missing value (a blank) is replaced by
// its conditional mean.
//
// It assumes that values are missing at random: whether a value is missing does not
// depend on the value itself.
package imputation

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

const (
	// priorRows is the weight, in rows, of the prior that columns are uncorrelated;
	// it keeps the covariance of few rows well conditioned.
	priorRows = 8
	// mostSteps and tolerance end the iteration; tolerance is the largest change of
	// a mean or covariance, for columns in units of their standard deviations.
	mostSteps = 30
	tolerance = 0.01
)

// Impute estimates the values that are NaN in x from the other columns of their row.
// x has n rows of p standardised columns, n and p at least 1; it is not modified.
func Impute(x [][]float64) Imputed {
	p := len(x[0])
	f := Imputed{X: make([][]float64, len(x)), Mean: make([]float64, p), cov: identity(p)}
	for i, row := range x {
		f.X[i] = append([]float64(nil), row...)
	}
	var members [][]int
	f.Pattern, members = patterns(x)
	f.Open = make([]Conditional, len(members))
	for range mostSteps {
		f.expect(x, members)
		if f.maximise(members) < tolerance {
			break
		}
	}
	f.expect(x, members)
	return f
}

// Imputed is the result of Impute.
type Imputed struct {
	X       [][]float64   // rows with the blanks filled
	Mean    []float64     // of the columns
	cov     *mat.SymDense // of the columns
	Pattern []int         // by row: index into Open
	Open    []Conditional // one per pattern of blanks
}

// Conditional is the conditional distribution of one pattern of blanks given the
// known columns.
type Conditional struct {
	Known, Blank []int         // columns
	Slopes       *mat.Dense    // of the blank columns on the known ones; nil if there are none of either
	Spread       *mat.SymDense // conditional covariance, p × p, 0 for known columns; nil without blanks
}

// expect fills the blanks of every row from the present mean and covariance (the
// E-step).
func (f *Imputed) expect(x [][]float64, members [][]int) {
	for k, rows := range members {
		f.Open[k] = f.given(x[rows[0]])
		for _, i := range rows {
			f.fill(f.Open[k], x[i], f.X[i])
		}
	}
}

// fill copies row to dst and fills its blanks.
func (f *Imputed) fill(o Conditional, row, dst []float64) {
	copy(dst, row)
	for a, j := range o.Blank {
		dst[j] = f.Mean[j]
		for b, k := range o.Known {
			if o.Slopes != nil {
				dst[j] += o.Slopes.At(a, b) * (row[k] - f.Mean[k])
			}
		}
	}
}

// Fill returns the conditional distribution of the blanks of a row, which need not
// be one of Impute's, and the row with its blanks filled.
func (f *Imputed) Fill(row []float64) (Conditional, []float64) {
	o, filled := f.given(row), make([]float64, len(row))
	f.fill(o, row, filled)
	return o, filled
}

func identity(p int) *mat.SymDense {
	m := mat.NewSymDense(p, nil)
	for j := range p {
		m.SetSym(j, j, 1)
	}
	return m
}

// patterns numbers the patterns of blank columns in order of first appearance, and
// lists the rows of each pattern.
func patterns(x [][]float64) (pattern []int, members [][]int) {
	numbers := map[string]int{}
	pattern = make([]int, len(x))
	key := make([]byte, len(x[0]))
	for i, row := range x {
		for j, v := range row {
			key[j] = 0
			if math.IsNaN(v) {
				key[j] = 1
			}
		}
		k, ok := numbers[string(key)]
		if !ok {
			k = len(members)
			numbers[string(key)] = k
			members = append(members, nil)
		}
		pattern[i] = k
		members[k] = append(members[k], i)
	}
	return pattern, members
}

// given returns the conditional distribution of the blanks of a row.
func (f *Imputed) given(row []float64) Conditional {
	var o Conditional
	for j, v := range row {
		if math.IsNaN(v) {
			o.Blank = append(o.Blank, j)
		} else {
			o.Known = append(o.Known, j)
		}
	}
	if len(o.Blank) == 0 {
		return o
	}
	o.Spread = mat.NewSymDense(len(row), nil)
	for a, ja := range o.Blank {
		for _, jb := range o.Blank[a:] {
			o.Spread.SetSym(ja, jb, f.cov.At(ja, jb))
		}
	}
	inner := mat.NewSymDense(max(len(o.Known), 1), nil)
	cross := mat.NewDense(max(len(o.Known), 1), len(o.Blank), nil)
	for a, ja := range o.Known {
		for b := a; b < len(o.Known); b++ {
			inner.SetSym(a, b, f.cov.At(ja, o.Known[b]))
		}
		for b, jb := range o.Blank {
			cross.Set(a, b, f.cov.At(ja, jb))
		}
	}
	var chol mat.Cholesky
	var solved, explained mat.Dense
	if len(o.Known) == 0 || !chol.Factorize(inner) || chol.SolveTo(&solved, cross) != nil {
		return o
	}
	o.Slopes = mat.DenseCopyOf(solved.T())
	explained.Mul(cross.T(), &solved)
	for a, ja := range o.Blank {
		for b := a; b < len(o.Blank); b++ {
			jb := o.Blank[b]
			o.Spread.SetSym(ja, jb, f.cov.At(ja, jb)-explained.At(a, b))
		}
	}
	return o
}

// maximise sets mean and covariance from the filled rows (the M-step) and returns
// the largest change of an element.
func (f *Imputed) maximise(members [][]int) float64 {
	n, p, mean, cov := float64(len(f.X)), len(f.Mean), f.Mean, f.cov
	moved := 0.0
	for j := range p {
		sum := 0.0
		for _, row := range f.X {
			sum += row[j]
		}
		moved = math.Max(moved, math.Abs(sum/n-mean[j]))
		mean[j] = sum / n
	}
	total := make([]float64, p*p)
	for _, row := range f.X {
		for a := range p {
			da := row[a] - mean[a]
			for b := a; b < p; b++ {
				total[a*p+b] += da * (row[b] - mean[b])
			}
		}
	}
	for a := range p {
		for b := a; b < p; b++ {
			sum := total[a*p+b]
			for k, o := range f.Open {
				if o.Spread != nil {
					sum += float64(len(members[k])) * o.Spread.At(a, b)
				}
			}
			prior := 0.0
			if a == b {
				prior = priorRows
			}
			next := (sum + prior) / (n + priorRows)
			moved = math.Max(moved, math.Abs(next-cov.At(a, b)))
			cov.SetSym(a, b, next)
		}
	}
	return moved
}
