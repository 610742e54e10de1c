package robust

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

const (
	// pairRows is the largest number of rows for which every line through two
	// points is tried: 19,900 lines, a few milliseconds.
	pairRows = 200
	// defaultStarts is the number of subsamples of p rows: with p = 4 and 30 % bad
	// rows the chance that every subsample holds a bad row is below 1e-100.
	defaultStarts = 1000
	// keptStarts is the number of best candidates that are iterated to convergence
	// on each nested set of rows; nearly always they converge to one or two fits.
	keptStarts = 20
	// middleRows is the size of the second nested set of rows.
	middleRows = 5000
	// startTolerance: the S-estimate has converged when a step moves the fit by at
	// most this share of the scale; the relative error of the scale is then about
	// its square. coarseStart applies above manyRows rows, where it is far below
	// the standard error.
	startTolerance = 1e-9
	coarseStart    = 1e-6
	manyRows       = 20_000
	startSteps     = 300
	// sameStart: two fits closer than this share of the scale count as the same.
	sameStart = 1e-5
)

// Start is an S-estimate or a candidate for it: coefficients of the basis and the
// residual scale.
type Start struct {
	Gamma []float64
	Scale float64
}

// FindStart returns the S-estimate.
func FindStart(b *linear.Basis, d linear.Design, y []float64, o RobustOptions) (Start, error) {
	return StartOf(b, y, num.RowOrder(d.Columns, y), o)
}

// StartOf is FindStart with the order of rows given by the caller.
func StartOf(b *linear.Basis, y []float64, rows []int, o RobustOptions) (Start, error) {
	if b.N < b.P+2 {
		return Start{}, &num.TooFewError{What: "rows", Have: b.N, Need: b.P + 2}
	}
	if o.Seed == 0 {
		o.Seed = num.DefaultSeed
	}
	if o.Starts <= 0 {
		o.Starts = defaultStarts
	}
	rng := rand.New(rand.NewPCG(o.Seed, uint64(b.N)))
	levels := nested(rows, rng)
	best := elemental(b, y, levels[0], rng, o.Starts)
	for _, level := range levels {
		best = improve(b, y, level, best)
		if len(best) == 0 {
			return Start{}, &num.RankError{Columns: b.Names}
		}
	}
	return best[0], nil
}

// nested returns growing random sets of rows, each a subset of the next; the last
// holds all rows.
func nested(rows []int, rng *rand.Rand) [][]int {
	n := len(rows)
	if n <= pairRows {
		return [][]int{rows}
	}
	mixed := slices.Clone(rows)
	for i := range min(middleRows, n-1) {
		j := i + rng.IntN(n-i)
		mixed[i], mixed[j] = mixed[j], mixed[i]
	}
	levels := [][]int{mixed[:pairRows]}
	if n > 2*middleRows {
		levels = append(levels, mixed[:middleRows])
	}
	return append(levels, rows)
}

// elemental tries exact fits through as many rows as there are coefficients, all
// pairs if there are two and otherwise a random sample, and returns those of
// smallest scale.
func elemental(b *linear.Basis, y []float64, rows []int, rng *rand.Rand, starts int) []Start {
	// In random order the first rows are typical of all, so that below rejects most
	// candidates early.
	rows = slices.Clone(rows)
	rng.Shuffle(len(rows), func(i, j int) { rows[i], rows[j] = rows[j], rows[i] })
	pool := newPool(b, y, rows)
	gamma := make([]float64, b.P)
	if b.P == 2 {
		for i, a := range rows {
			for _, c := range rows[:i] {
				if lineThrough(b.Row(a), b.Row(c), y[a], y[c], gamma) {
					pool.offer(gamma)
				}
			}
		}
		return pool.best
	}
	solver := linear.NewWeighted(b)
	ones := slices.Repeat([]float64{1}, len(rows))
	left := slices.Clone(rows)
	x := mat.NewDense(b.P, b.P, nil)
	rhs := mat.NewVecDense(b.P, nil)
	out := mat.NewVecDense(b.P, gamma)
	for range starts {
		for k := range b.P {
			j := k + rng.IntN(len(left)-k)
			left[k], left[j] = left[j], left[k]
			x.SetRow(k, b.Row(left[k]))
			rhs.SetVec(k, y[left[k]])
		}
		var lu mat.LU
		lu.Factorize(x)
		if lu.Cond() > 1/linear.SmallestPivot || lu.SolveVecTo(out, false, rhs) != nil {
			continue
		}
		if s, ok := pool.step(solver, ones, gamma); ok {
			pool.offer(s)
		}
	}
	if len(pool.best) == 0 && solver.Solve(y, rows, ones, gamma) {
		pool.offer(gamma)
	}
	return pool.best
}

// lineThrough sets gamma to the coefficients of the line through two rows of a
// basis with two columns; false if the rows do not determine it.
func lineThrough(a, c []float64, ya, yc float64, gamma []float64) bool {
	det := a[0]*c[1] - a[1]*c[0]
	if math.Abs(det) <= linear.SmallestPivot*(math.Abs(a[0]*c[1])+math.Abs(a[1]*c[0])) {
		return false
	}
	gamma[0] = (ya*c[1] - a[1]*yc) / det
	gamma[1] = (a[0]*yc - ya*c[0]) / det
	return true
}

// pool keeps the candidates with the smallest scale over a set of rows.
type pool struct {
	b    *linear.Basis
	y    []float64
	rows []int
	r    []float64
	tiny float64
	best []Start // ascending scale, at most keptStarts
}

func newPool(b *linear.Basis, y []float64, rows []int) *pool {
	return &pool{b: b, y: y, rows: rows, r: make([]float64, len(rows)), tiny: exactTolerance(y)}
}

// offer keeps gamma if it is among the best.
func (p *pool) offer(gamma []float64) {
	scale := math.Inf(1)
	if len(p.best) == keptStarts {
		scale = p.best[keptStarts-1].Scale
		if !p.below(gamma, scale) {
			return
		}
	} else {
		p.b.Residuals(gamma, p.y, p.rows, p.r)
	}
	scale = residualScale(p.r, p.b.P, scale, p.tiny)
	at, _ := slices.BinarySearchFunc(p.best, scale, func(s Start, t float64) int { return cmp.Compare(s.Scale, t) })
	if at == keptStarts { // not smaller after all: rounding
		return
	}
	if len(p.best) == keptStarts {
		p.best = p.best[:keptStarts-1]
	}
	p.best = slices.Insert(p.best, at, Start{slices.Clone(gamma), scale})
}

// below reports whether the residuals of gamma have a smaller scale than the
// given one. It stops at the first block of rows that rules this out, and
// otherwise leaves the residuals in p.r.
func (p *pool) below(gamma []float64, scale float64) bool {
	const block = 32
	limit := breakdown * float64(len(p.rows)-p.b.P)
	sum := 0.0
	inverse := 1 / (scale * scaleTuning)
	if scale == 0 {
		return false
	}
	for from := 0; from < len(p.rows); from += block {
		to := min(from+block, len(p.rows))
		p.b.Residuals(gamma, p.y, p.rows[from:to], p.r[from:to])
		sum += float64(to - from)
		for _, r := range p.r[from:to] {
			u := r * inverse
			v := max(1-u*u, 0)
			sum -= v * v * v
		}
		if sum >= limit {
			return false
		}
	}
	return true
}

// step returns gamma after one step of reweighted least squares at the scale of
// its residuals.
func (p *pool) step(solver *linear.Weighted, w, gamma []float64) ([]float64, bool) {
	p.b.Residuals(gamma, p.y, p.rows, p.r)
	scale := residualScale(p.r, p.b.P, math.Inf(1), p.tiny)
	if scale == 0 {
		return gamma, true
	}
	for i, r := range p.r {
		w[i] = BisquareWeight(r / (scale * scaleTuning))
	}
	next := make([]float64, p.b.P)
	ok := solver.Solve(p.y, p.rows, w, next)
	return next, ok
}

// improve iterates each candidate to convergence over the rows and returns the
// distinct results, smallest scale first. The candidates must be in that order.
func improve(b *linear.Basis, y []float64, rows []int, from []Start) []Start {
	p := newPool(b, y, rows)
	solver := linear.NewWeighted(b)
	w := make([]float64, len(rows))
	tolerance := startTolerance
	if len(rows) > manyRows {
		tolerance = coarseStart
	}
	var out []Start
	for _, s := range from {
		gamma := s.Gamma
		scale := math.Inf(1)
		for range startSteps {
			b.Residuals(gamma, y, rows, p.r)
			scale = residualScale(p.r, b.P, scale, p.tiny)
			if scale == 0 || slices.ContainsFunc(out, func(o Start) bool { return distance(gamma, o.Gamma) <= sameStart*scale }) {
				break
			}
			for i, r := range p.r {
				w[i] = BisquareWeight(r / (scale * scaleTuning))
			}
			next := make([]float64, b.P)
			if !solver.Solve(y, rows, w, next) {
				break
			}
			moved := distance(next, gamma)
			gamma = next
			if moved <= tolerance*scale {
				b.Residuals(gamma, y, rows, p.r)
				scale = residualScale(p.r, b.P, scale, p.tiny)
				break
			}
		}
		if !slices.ContainsFunc(out, func(o Start) bool { return distance(gamma, o.Gamma) <= sameStart*o.Scale }) {
			out = append(out, Start{gamma, scale})
		}
	}
	slices.SortStableFunc(out, func(a, c Start) int { return cmp.Compare(a.Scale, c.Scale) })
	return out
}

// residualScale solves Σ ρ(r/s) = (n-p)/2 for s, starting from the guess, or from
// the root mean square of r if the guess is infinite. It returns 0 if no more
// than (n-p)/2 residuals exceed tiny.
func residualScale(r []float64, p int, guess, tiny float64) float64 {
	target := breakdown * float64(len(r)-p)
	nonzero := 0
	for _, v := range r {
		if math.Abs(v) > tiny {
			nonzero++
		}
	}
	if float64(nonzero) <= target {
		return 0
	}
	s := guess
	if math.IsInf(s, 1) {
		s = floats.Norm(r, 2) / math.Sqrt(float64(len(r)))
	}
	low, high := 0.0, math.Inf(1)
	for range 200 {
		var sum, slope float64
		inverse := 1 / (s * scaleTuning)
		for _, v := range r {
			u := v * inverse
			u *= u
			if c := 1 - u; c > 0 {
				sum += 1 - c*c*c
				slope += 6 * u * c * c
			} else {
				sum++
			}
		}
		if sum > target {
			low = s
		} else {
			high = s
		}
		// Newton's method on log s. Far above the root the slope nearly vanishes and
		// the step would lead close to zero, hence the bound on it. The fallback is
		// the fixed-point step, which always moves towards the root.
		step := (sum - target) / slope
		next := s * math.Exp(step)
		if !(math.Abs(step) <= 1 && next > low && next < high) {
			next = s * math.Sqrt(sum/target)
			if !(next > low && next < high) {
				next = (low + high) / 2
			}
		}
		done := math.Abs(next-s) <= 1e-14*s
		s = next
		if done {
			break
		}
	}
	return s
}

// exactTolerance returns the size below which a residual of y counts as rounding
// error.
func exactTolerance(y []float64) float64 {
	most := 0.0
	for _, v := range y {
		most = math.Max(most, math.Abs(v))
	}
	return 1e-13 * most
}
