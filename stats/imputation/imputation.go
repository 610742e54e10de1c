// Package imputation answers "what may the blanks of a table hold, and how sure is
// that?".
//
// Rows are draws from a joint normal distribution, its mean and covariance found
// by expectation and maximisation (A. P. Dempster, N. M. Laird and D. B. Rubin
// (1977), J. R. Statist. Soc. B 39, 1-38); a blank holds its conditional mean.
//
// It supposes that what is blank does not depend on what it would have held.
package imputation

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

const (
	// priorRows is the number of rows' worth of belief that columns are unrelated:
	// it keeps the covariance of few rows sound.
	priorRows = 8
	// mostSteps and tolerance end the iteration; columns are in units of their
	// standard deviation, so that a hundredth is beyond notice.
	mostSteps = 30
	tolerance = 0.01
)

// Impute replaces the NaN of x (n rows of p standardised columns, neither 0) by
// what the row's other columns lead one to expect; x itself stays as it is.
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

// Imputed is the outcome of Impute.
type Imputed struct {
	X       [][]float64   // rows without blanks
	Mean    []float64     // of the columns
	cov     *mat.SymDense // of the columns
	Pattern []int         // by row: which blanks, an index into Open
	Open    []Conditional
}

// Conditional is what one pattern of blanks leaves open.
type Conditional struct {
	Known, Blank []int         // columns
	Slopes       *mat.Dense    // of the blank columns on the known ones; nil without either
	Spread       *mat.SymDense // covariance left among all columns, 0 for known ones; nil without blanks
}

// expect fills the blanks of every row from the present mean and covariance.
func (f *Imputed) expect(x [][]float64, members [][]int) {
	for k, rows := range members {
		f.Open[k] = f.given(x[rows[0]])
		for _, i := range rows {
			f.fill(f.Open[k], x[i], f.X[i])
		}
	}
}

// fill writes row to dst, its blanks replaced.
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

// Fill returns what the blanks of a row leave open that need not be one of
// Impute's, and the row without them.
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

// patterns numbers the rows by which columns are blank, in order of first
// appearance, and lists the rows of each number.
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

// given works out what the blanks of a row leave open.
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

// maximise sets mean and covariance from the filled rows and returns the largest
// change of either.
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
