package outlier

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Rows off the line are thought of as shifted away from it by 2.5, 3.5, …, 7.5
// scales, in shares that the data decide (a nonparametric maximum likelihood
// estimate on a grid: J. Kiefer and J. Wolfowitz (1956), Ann. Math. Stat. 27,
// 887-906). Nearer ones cannot be told from the noise; farther ones need no
// telling.
const (
	leastShift   = 2.5
	shiftStep    = 1.0
	shifts       = 6
	cleanRows    = 5.0  // rows known to be clean beforehand, as it were: keeps shares from being made of nothing
	farDensity   = 1e-7 // of rows beyond all shifts
	widest       = 50.0 // scales beyond which all distances are alike
	firstShifted = 0.1  // share of shifted rows to begin with
	// mixtureMoved is the share by which the scale may still move at the end.
	mixtureMoved = 1e-5

	// Up to binAbove residuals are taken one by one, more in bins of a hundredth
	// of a scale, in which their spread does not show.
	binAbove = 4000
	binWidth = 0.01
)

// spread is a set of residuals, perhaps binned, of a fit with p coefficients.
type spread struct {
	r     []float64 // residuals, or means of bins
	count []float64 // residuals behind each
	p     float64
	scale float64 // to begin with
	least float64 // no scale may fall below it

	binned bool
}

// newSpread gathers residuals; scale is a guess at theirs.
func newSpread(r []float64, p int, scale, least float64) *spread {
	s := &spread{p: float64(p), scale: scale, least: least}
	if len(r) <= binAbove || scale == 0 {
		s.r, s.count = r, slices.Repeat([]float64{1}, len(r))
		return s
	}
	s.r, s.count = bins(r, scale, binWidth)
	s.binned = true
	return s
}

// bins are the means of residuals in bins of so many scales, and how many there
// are in each.
func bins(r []float64, scale, width float64) (means, counts []float64) {
	half := int(widest / width)
	sums, in := make([]float64, 2*half+1), make([]float64, 2*half+1)
	for _, v := range r {
		k := half + int(math.Round(clip(v/scale)/width))
		sums[k] += v
		in[k]++
	}
	for k, c := range in {
		if c > 0 {
			means, counts = append(means, sums[k]/c), append(counts, c)
		}
	}
	return means, counts
}

// clip holds a residual in scales within the widest.
func clip(u float64) float64 { return math.Max(-widest, math.Min(widest, u)) }

// mixture describes residuals as clean noise, normal or Student's t, and rows
// shifted off it upwards or downwards.
type mixture struct {
	noise noise
	scale float64
	clean float64      // share of clean rows
	rows  float64      // number of clean rows
	share [2][]float64 // of each shift, up and down; nil = none
}

// sides says which shifts upwards and downwards there may be: all from the given
// one on.
type sides struct{ up, down int }

const (
	fromNear = 0      // all shifts
	fromFar  = 2      // those of 4.5 scales and more
	noShift  = shifts // none
)

// newMixture is a mixture to begin with.
func newMixture(s *spread, df float64, of sides) *mixture {
	m := &mixture{noise: newNoise(df), scale: s.scale, clean: 1}
	tried := 2*shifts - of.up - of.down
	for side, from := range [2]int{of.up, of.down} {
		if from == noShift {
			continue
		}
		m.clean = 1 - firstShifted
		m.share[side] = make([]float64, shifts)
		for k := from; k < shifts; k++ {
			m.share[side][k] = firstShifted / float64(tried)
		}
	}
	return m
}

// step is one round of expectation and maximisation. It returns the share by
// which the scale has moved.
func (m *mixture) step(s *spread) (moved float64) {
	var squares, rows float64
	var taken, each [2][shifts]float64
	for i, r := range s.r {
		u := clip(r / m.scale)
		clean, total := m.densities(u, &each)
		w := s.count[i] / total
		rows += w * clean
		squares += w * clean * m.noise.weight(u) * r * r
		for side, share := range m.share {
			if share != nil {
				for k, f := range each[side] {
					taken[side][k] += w * f
				}
			}
		}
	}
	before := m.scale
	m.rows = rows
	m.scale = math.Max(s.least, math.Sqrt(squares/math.Max(rows-s.p, 1)))
	total := rows + cleanRows
	for _, side := range taken {
		for _, v := range side {
			total += v
		}
	}
	m.clean = (rows + cleanRows) / total
	for side, share := range m.share {
		for k := range share {
			share[k] = taken[side][k] / total
		}
	}
	return math.Abs(m.scale-before) / before
}

// densities returns the density of a clean row at u scales and that of any row,
// and writes those of rows shifted by each step.
func (m *mixture) densities(u float64, each *[2][shifts]float64) (clean, total float64) {
	central, reach := normalDensity(u), math.Exp(u)
	clean = m.clean * central
	if !m.noise.normal {
		clean = m.clean * m.noise.density(u)
	}
	total = clean + farDensity
	for side, share := range m.share {
		if share == nil {
			continue
		}
		if side == 1 {
			reach = 1 / reach
		}
		// φ(u-g) = φ(u)·exp(u·g - g²/2), and φ(u-g-1)/φ(u-g) = exp(u-g-1/2).
		density := central * reach * reach * math.Sqrt(reach) * shiftStart
		ratio := reach * ratioStart
		for k, p := range share {
			f := p * density
			each[side][k] = f
			total += f
			density *= ratio
			ratio *= ratioFade
		}
	}
	return clean, total
}

// The steps of densities for shifts of 2.5, 3.5, …
var (
	shiftStart = math.Exp(-leastShift * leastShift / 2)
	ratioStart = math.Exp(-shiftStep * (leastShift + shiftStep/2))
	ratioFade  = math.Exp(-shiftStep * shiftStep)
)

// evidence is the log likelihood, with the rows known to be clean beforehand.
func (m *mixture) evidence(s *spread) float64 {
	var each [2][shifts]float64
	sum := cleanRows * math.Log(m.clean)
	for i, r := range s.r {
		_, total := m.densities(clip(r/m.scale), &each)
		sum += s.count[i] * math.Log(total/m.scale)
	}
	return sum
}

func normalDensity(u float64) float64 { return math.Exp(-u*u/2) / math.Sqrt(2*math.Pi) }

// noise is the distribution of clean residuals in scales.
type noise struct {
	normal   bool
	df, peak float64 // of Student's t: degrees of freedom, log density at 0
}

func newNoise(df float64) noise {
	if math.IsInf(df, 1) {
		return noise{normal: true, df: df}
	}
	return noise{df: df, peak: distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.LogProb(0)}
}

func (n noise) density(u float64) float64 {
	return math.Exp(n.peak - (n.df+1)/2*math.Log1p(u*u/n.df))
}

// weight is that of a residual in the maximum likelihood estimate of the scale.
func (n noise) weight(u float64) float64 {
	if n.normal {
		return 1
	}
	return (n.df + 1) / (n.df + u*u)
}
