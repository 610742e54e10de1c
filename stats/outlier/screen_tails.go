package outlier

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat/distuv"
)

const (
	// What the log likelihood must gain for rows shifted to one side to be
	// believed, and for rows far to the other side besides.
	sidePenalty = 1.0
	farPenalty  = 2.0
	// scaleBias: the scale of p coefficients and n rows comes out too small by
	// about this times p/n; from simulation.
	scaleBias = 0.5
	// A part of less than this weight is left out.
	leastWeight = 1e-6
	// nearNormal degrees of freedom move the tail beyond five scales by less than
	// a fifth of a per cent.
	nearNormal = 1e5
	// quantileSteps are more than enough to find a quantile to quantileMoved.
	quantileSteps = 200
	quantileMoved = 1e-10
)

// tailModel is the distribution of a new clean residual: Student's t or normal
// noise, averaged over what its scale may be.
type tailModel struct {
	df    float64 // of the noise
	parts []tailPart
}

type tailPart struct {
	weight, scale, df float64
}

// newTails is the distribution of a new clean residual: the likeliest, the
// likeliest of those with long tails, and the chance of long tails.
func newTails(s *spread) (likeliest, long *tailModel, longChance float64) {
	if s.least == 0 {
		t := exactTails(s)
		return t, t, 0
	}
	return likelyNoise(s)
}

// exactTails takes the spread of all residuals as it stands.
func exactTails(s *spread) *tailModel {
	df := math.Max(float64(len(s.r))-s.p, 1)
	sd := floats.Norm(s.r, 2) / math.Sqrt(df)
	return &tailModel{df: math.Inf(1), parts: []tailPart{{weight: 1, scale: sd, df: df}}}
}

// scale is the mean scale of the parts.
func (t *tailModel) scale() float64 {
	sum, weights := 0.0, 0.0
	for _, p := range t.parts {
		sum += p.weight * p.scale
		weights += p.weight
	}
	return sum / weights
}

// beyond is the chance of a clean residual above u >= 0.
func (t *tailModel) beyond(u float64) float64 {
	if u == 0 {
		return 0.5
	}
	sum := 0.0
	for _, p := range t.parts {
		if p.scale > 0 {
			sum += p.weight * upperT(u/p.scale, p.df)
		}
	}
	return math.Min(0.5, sum)
}

// quantile is the u for which a clean residual lies within ±u with the given
// confidence; NaN for one outside (0, 1).
func (t *tailModel) quantile(confidence float64) float64 {
	if !(confidence > 0 && confidence < 1) {
		return math.NaN()
	}
	low, high := 0.0, 0.0
	for _, p := range t.parts {
		// Each part's own quantile brackets that of the whole.
		high = math.Max(high, p.scale*studentT(p.df, (1+confidence)/2))
	}
	aim := (1 - confidence) / 2
	at := high
	for range quantileSteps {
		// Newton's step, unless it leaves what is known to hold the quantile.
		excess, density := t.beyond(at)-aim, t.density(at)
		if excess > 0 {
			low = at
		} else {
			high = at
		}
		next := at + excess/density
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if math.Abs(next-at) <= quantileMoved*next || next == low || next == high {
			return next
		}
		at = next
	}
	return high
}

// density is that of a clean residual at u.
func (t *tailModel) density(u float64) float64 {
	sum := 0.0
	for _, p := range t.parts {
		if p.scale > 0 {
			sum += p.weight * densityT(u/p.scale, p.df) / p.scale
		}
	}
	return sum
}

func densityT(u, df float64) float64 {
	if df > nearNormal {
		return distuv.UnitNormal.Prob(u)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Prob(u)
}

// upperT is the chance of Student's t above u.
func upperT(u, df float64) float64 {
	if df > nearNormal {
		return distuv.UnitNormal.Survival(u)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.CDF(-u)
}

func studentT(df, p float64) float64 {
	if df > nearNormal {
		return distuv.UnitNormal.Quantile(p)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile(p)
}
