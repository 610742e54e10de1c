package outlier

import (
	"slices"

	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

// partCuts are where a log is cut in two, in sixths of the rows: the share of
// shifted rows may change there.
var partCuts = [...]int{2, 3, 4}

const sixths = 6

// someRows are the rows that descriptions are fitted to, all or a sample.
type someRows struct {
	*linear.Basis
	y, at   []float64 // response; place in the direction of the design
	stretch float64   // the most that the sum of squares of the rows comes to in any direction
}

func (s *someRows) rows() []int { return num.AllRows(s.N) }

// sample takes every so manieth of the rows in an order of their own.
func (s *someRows) sample(order []int) *someRows {
	b := *s.Basis
	b.N = describedRows
	b.Z = make([]float64, 0, b.N*b.P)
	out := &someRows{Basis: &b}
	for k := range b.N {
		i := order[(2*k+1)*s.N/(2*b.N)]
		b.Z = append(b.Z, s.Row(i)...)
		out.y, out.at = append(out.y, s.y[i]), append(out.at, s.at[i])
	}
	gram := mat.NewSymDense(b.P, nil)
	gram.SymOuterK(1, mat.NewDense(b.N, b.P, b.Z).T())
	var eigen mat.EigenSym
	out.stretch = mat.Trace(gram)
	if eigen.Factorize(gram, false) {
		out.stretch = slices.Max(eigen.Values(nil))
	}
	return out
}

// direction is where each row lies along the design: on the column of a straight
// line, on the fitted value of several.
func direction(b *linear.Basis, gamma []float64) []float64 {
	at := make([]float64, b.N)
	for i := range at {
		row := b.Row(i)
		if b.P <= 2 {
			at[i] = row[b.P-1]
			continue
		}
		for j, z := range row {
			at[i] += gamma[j] * z
		}
	}
	return at
}

// cutsOf returns the places where the part above begins.
func cutsOf(at []float64) []float64 {
	n := len(at)
	sorted := slices.Clone(at)
	slices.Sort(sorted)
	var cuts []float64
	for _, cut := range partCuts {
		// Equal rows stay together: the nearer end of their run is the cut. Of two
		// as near it is the outer one, in the middle both, so that turning the
		// design round changes nothing.
		aim := sorted[cut*n/sixths]
		low, _ := slices.BinarySearch(sorted, aim)
		high := low
		for high < n && sorted[high] == aim {
			high++
		}
		toLow, toHigh := cut*n-sixths*low, sixths*high-cut*n
		if low > 0 && (toLow < toHigh || toLow == toHigh && 2*cut <= sixths) {
			cuts = append(cuts, sorted[low])
		}
		if high < n && (toHigh < toLow || toLow == toHigh && 2*cut >= sixths) {
			cuts = append(cuts, sorted[high])
		}
	}
	return slices.Compact(cuts)
}

// above is 1 for rows from the cut on.
func above(at []float64, cut float64) []uint8 {
	part := make([]uint8, len(at))
	for i, v := range at {
		if v >= cut {
			part[i] = 1
		}
	}
	return part
}
