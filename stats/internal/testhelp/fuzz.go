package testhelp

import (
	"encoding/binary"
	"math"
	"testing"
)

// FloatsOf interprets bytes as float64 values, little-endian.
func FloatsOf(data []byte) []float64 {
	x := make([]float64, len(data)/8)
	for i := range x {
		x[i] = math.Float64frombits(binary.LittleEndian.Uint64(data[8*i:]))
	}
	return x
}

// bytesOf is the inverse of FloatsOf, for seeds.
func bytesOf(x ...float64) []byte {
	var data []byte
	for _, v := range x {
		data = binary.LittleEndian.AppendUint64(data, math.Float64bits(v))
	}
	return data
}

// FuzzSeeds adds samples that commonly break numerical code: empty, equal, huge,
// tiny, of mixed size, not finite, collinear.
func FuzzSeeds(f *testing.F) {
	for _, x := range [][]float64{
		{}, {1}, {1, 1, 1, 1, 1, 1, 1, 1},
		{1, 2, 3, 4, 5, 6, 7, 8.5, 9, 11, 10, 13},
		{math.MaxFloat64, -math.MaxFloat64, 1, 0, math.MaxFloat64, 3, 2, 1},
		{5e-324, 0, 1e-310, 5e-324, 3, 2, 1, 7},
		{1e300, 1e-300, 1, 2, 3, 1e200, 5, 6, -7, 1e-200, 3, 4},
		{math.NaN(), 1, 2, math.Inf(1), 3, 4, math.Inf(-1), 5},
		{1e16, 1e16 + 2, 1e16, 1e16 + 4, 1, 2, 3, 4, 1, 2, 3, 5},
	} {
		f.Add(bytesOf(x...), uint8(2))
	}
}

// FuzzColumns turns data into at most most columns and a response of the same length;
// shape gives the number of columns and whether the design has no intercept.
func FuzzColumns(data []byte, shape uint8, most int) (columns [][]float64, y []float64, noIntercept bool) {
	x := FloatsOf(data)
	p := int(shape)%most + 1
	n := len(x) / (p + 1)
	for j := range p {
		columns = append(columns, x[j*n:(j+1)*n])
	}
	return columns, x[p*n : (p+1)*n], shape&64 != 0
}
