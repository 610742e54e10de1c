package price

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

const (
	// imputePrior is the number of products' worth of belief that contents are
	// unrelated: it keeps the covariance of few products sound.
	imputePrior = 8
	// imputeSteps and imputeTolerance end the iteration; contents are in units
	// of their standard deviation, so that a hundredth is beyond notice.
	imputeSteps     = 30
	imputeTolerance = 0.01
)

// impute replaces the NaN of x (n rows of p standardised columns) by what
// the row's other columns lead one to expect under a joint normal distribution,
// found by expectation and maximisation: A. P. Dempster, N. M. Laird and D. B.
// Rubin (1977), J. R. Statist. Soc. B 39, 1-38. Where all is known nothing
// changes. The price takes no part.
func impute(x [][]float64) imputation {
	p := len(x[0])
	f := imputation{x: make([][]float64, len(x)), mean: make([]float64, p), cov: identity(p)}
	for i, row := range x {
		f.x[i] = append([]float64(nil), row...)
	}
	var members [][]int
	f.pattern, members = patterns(x)
	f.open = make([]conditional, len(members))
	for range imputeSteps {
		f.expect(x, members)
		if f.maximise(members) < imputeTolerance {
			break
		}
	}
	f.expect(x, members)
	return f
}

// imputation is the outcome of impute.
type imputation struct {
	x       [][]float64   // rows without blanks
	mean    []float64     // of the columns
	cov     *mat.SymDense // of the columns
	pattern []int         // by row: which blanks, an index into open
	open    []conditional
}

// conditional is what one pattern of blanks leaves open.
type conditional struct {
	known, blank []int
	slopes       *mat.Dense    // of the blank columns on the known ones; nil without either
	spread       *mat.SymDense // covariance left among all columns, 0 for known ones; nil without blanks
}

// expect fills the blanks of every row from the present mean and covariance.
func (f *imputation) expect(x [][]float64, members [][]int) {
	for k, rows := range members {
		f.open[k] = f.given(x[rows[0]])
		for _, i := range rows {
			f.open[k].fill(x[i], f.mean, f.x[i])
		}
	}
}

// fill writes row to dst, its blanks replaced.
func (o conditional) fill(row, mean, dst []float64) {
	copy(dst, row)
	for a, j := range o.blank {
		dst[j] = mean[j]
		for b, k := range o.known {
			if o.slopes != nil {
				dst[j] += o.slopes.At(a, b) * (row[k] - mean[k])
			}
		}
	}
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
func (f *imputation) given(row []float64) conditional {
	var o conditional
	for j, v := range row {
		if math.IsNaN(v) {
			o.blank = append(o.blank, j)
		} else {
			o.known = append(o.known, j)
		}
	}
	if len(o.blank) == 0 {
		return o
	}
	o.spread = mat.NewSymDense(len(row), nil)
	for a, ja := range o.blank {
		for _, jb := range o.blank[a:] {
			o.spread.SetSym(ja, jb, f.cov.At(ja, jb))
		}
	}
	inner := mat.NewSymDense(max(len(o.known), 1), nil)
	cross := mat.NewDense(max(len(o.known), 1), len(o.blank), nil)
	for a, ja := range o.known {
		for b := a; b < len(o.known); b++ {
			inner.SetSym(a, b, f.cov.At(ja, o.known[b]))
		}
		for b, jb := range o.blank {
			cross.Set(a, b, f.cov.At(ja, jb))
		}
	}
	var chol mat.Cholesky
	var solved, explained mat.Dense
	if len(o.known) == 0 || !chol.Factorize(inner) || chol.SolveTo(&solved, cross) != nil {
		return o
	}
	o.slopes = mat.DenseCopyOf(solved.T())
	explained.Mul(cross.T(), &solved)
	for a, ja := range o.blank {
		for b := a; b < len(o.blank); b++ {
			jb := o.blank[b]
			o.spread.SetSym(ja, jb, f.cov.At(ja, jb)-explained.At(a, b))
		}
	}
	return o
}

// maximise sets mean and covariance from the filled rows and returns the largest
// change of either.
func (f *imputation) maximise(members [][]int) float64 {
	n, p, mean, cov := float64(len(f.x)), len(f.mean), f.mean, f.cov
	moved := 0.0
	for j := range p {
		sum := 0.0
		for _, row := range f.x {
			sum += row[j]
		}
		moved = math.Max(moved, math.Abs(sum/n-mean[j]))
		mean[j] = sum / n
	}
	total := make([]float64, p*p)
	for _, row := range f.x {
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
			for k, o := range f.open {
				if o.spread != nil {
					sum += float64(len(members[k])) * o.spread.At(a, b)
				}
			}
			prior := 0.0
			if a == b {
				prior = imputePrior
			}
			next := (sum + prior) / (n + imputePrior)
			moved = math.Max(moved, math.Abs(next-cov.At(a, b)))
			cov.SetSym(a, b, next)
		}
	}
	return moved
}
