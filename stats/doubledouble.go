package stats

import "math"

// doubleDouble is an unevaluated sum of two float64 (about 32 significant digits),
// |lo| at most half a unit in the last place of hi. The operations are those of
// Dekker (1971), Numerische Mathematik 18, 224-242, with products made exact by
// a fused multiply-add: Ogita, Rump and Oishi (2005), SIAM J. Sci. Comput. 26,
// 1955-1988. They serve sums that must not lose digits; matrices are gonum's.
type doubleDouble struct{ hi, lo float64 }

// value rounds to the nearest float64.
func (a doubleDouble) value() float64 { return a.hi + a.lo }

func (a doubleDouble) neg() doubleDouble { return doubleDouble{-a.hi, -a.lo} }

// twoSum returns a + b exactly.
func twoSum(a, b float64) doubleDouble {
	s := a + b
	t := s - a
	return doubleDouble{s, (a - (s - t)) + (b - t)}
}

// quickSum returns a + b exactly where |a| >= |b|.
func quickSum(a, b float64) doubleDouble {
	s := a + b
	return doubleDouble{s, b - (s - a)}
}

func (a doubleDouble) add(b doubleDouble) doubleDouble {
	s := twoSum(a.hi, b.hi)
	t := twoSum(a.lo, b.lo)
	s = quickSum(s.hi, s.lo+t.hi)
	return quickSum(s.hi, s.lo+t.lo)
}

func (a doubleDouble) sub(b doubleDouble) doubleDouble { return a.add(b.neg()) }

func (a doubleDouble) addFloat(b float64) doubleDouble {
	s := twoSum(a.hi, b)
	return quickSum(s.hi, s.lo+a.lo)
}

func (a doubleDouble) mul(b doubleDouble) doubleDouble {
	p := a.hi * b.hi
	e := math.FMA(a.hi, b.hi, -p)
	e = math.FMA(a.hi, b.lo, e)
	e = math.FMA(a.lo, b.hi, e)
	return quickSum(p, e)
}

func (a doubleDouble) mulFloat(b float64) doubleDouble {
	p := a.hi * b
	e := math.FMA(a.hi, b, -p)
	return quickSum(p, math.FMA(a.lo, b, e))
}

// divFloat divides by b.
func (a doubleDouble) divFloat(b float64) doubleDouble {
	q := a.hi / b
	r := a.sub(doubleDouble{b, 0}.mulFloat(q))
	return quickSum(q, r.value()/b)
}

// scaled multiplies by 2 to the power of exponent, which rounds nothing.
func (a doubleDouble) scaled(exponent int) doubleDouble {
	return doubleDouble{math.Ldexp(a.hi, exponent), math.Ldexp(a.lo, exponent)}
}

// exponentOf returns the binary exponent e of the largest absolute value of x,
// so that x·2^-e lies in [-1, 1]; 0 where all are zero.
func exponentOf(x []float64) int {
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
