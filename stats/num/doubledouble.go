package num

import "math"

// DoubleDouble is the unevaluated sum Hi + Lo of two float64, about 32
// significant digits; |Lo| is at most half a unit in the last place of Hi. The
// operations are those of Dekker (1971), Numerische Mathematik 18, 224-242, with
// exact products by fused multiply-add: Ogita, Rump and Oishi (2005), SIAM J.
// Sci. Comput. 26, 1955-1988.
type DoubleDouble struct{ Hi, Lo float64 }

// Value returns a rounded to the nearest float64.
func (a DoubleDouble) Value() float64 { return a.Hi + a.Lo }

func (a DoubleDouble) neg() DoubleDouble { return DoubleDouble{-a.Hi, -a.Lo} }

// TwoSum returns a + b exactly.
func TwoSum(a, b float64) DoubleDouble {
	s := a + b
	t := s - a
	return DoubleDouble{s, (a - (s - t)) + (b - t)}
}

// quickSum returns a + b exactly if |a| >= |b|.
func quickSum(a, b float64) DoubleDouble {
	s := a + b
	return DoubleDouble{s, b - (s - a)}
}

func (a DoubleDouble) Add(b DoubleDouble) DoubleDouble {
	s := TwoSum(a.Hi, b.Hi)
	t := TwoSum(a.Lo, b.Lo)
	s = quickSum(s.Hi, s.Lo+t.Hi)
	return quickSum(s.Hi, s.Lo+t.Lo)
}

func (a DoubleDouble) Sub(b DoubleDouble) DoubleDouble { return a.Add(b.neg()) }

func (a DoubleDouble) AddFloat(b float64) DoubleDouble {
	s := TwoSum(a.Hi, b)
	return quickSum(s.Hi, s.Lo+a.Lo)
}

func (a DoubleDouble) Mul(b DoubleDouble) DoubleDouble {
	p := a.Hi * b.Hi
	e := math.FMA(a.Hi, b.Hi, -p)
	e = math.FMA(a.Hi, b.Lo, e)
	e = math.FMA(a.Lo, b.Hi, e)
	return quickSum(p, e)
}

func (a DoubleDouble) MulFloat(b float64) DoubleDouble {
	p := a.Hi * b
	e := math.FMA(a.Hi, b, -p)
	return quickSum(p, math.FMA(a.Lo, b, e))
}

// DivFloat returns a / b.
func (a DoubleDouble) DivFloat(b float64) DoubleDouble {
	q := a.Hi / b
	r := a.Sub(DoubleDouble{b, 0}.MulFloat(q))
	return quickSum(q, r.Value()/b)
}

// scaled multiplies by 2^exponent, which is exact unless the result is subnormal.
func (a DoubleDouble) scaled(exponent int) DoubleDouble {
	return DoubleDouble{math.Ldexp(a.Hi, exponent), math.Ldexp(a.Lo, exponent)}
}

// ExponentOf returns the binary exponent e of the largest absolute value of x,
// so that x·2^-e lies in [-1, 1]; 0 if all values are zero.
func ExponentOf(x []float64) int {
	var top float64
	for _, v := range x {
		if a := math.Abs(v); a > top {
			top = a
		}
	}
	if top == 0 {
		return 0
	}
	_, e := math.Frexp(top)
	return e
}
