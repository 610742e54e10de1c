package drift

import (
	"errors"
	"math"

	"pleatstat/stats/num"
	"pleatstat/stats/panel"
	"pleatstat/stats/rank"
)

const (
	// gateP is the permutation p up to which the parametric p is kept. Up to
	// gateDF degrees of freedom it is checked with gateOrders permutations; above,
	// the two agree.
	gateP      = 0.02
	gateDF     = 200
	gateOrders = 2000
	// nearDF is the number of degrees of freedom above which the second fit starts
	// from the first.
	nearDF = 200
)

// fit sets slope, interval and p of every candidate of one measure. Variances are
// moderated over the makers; those of single parts are shrunk towards the makers'
// common value.
func fit(all []*candidate, seed uint64) error {
	first := make([]*panel.FixedEffectsFit, len(all))
	for i, k := range all {
		if k.noMarket {
			continue
		}
		f, err := panel.RobustFixedEffects(k.series, panel.FixedEffectsOptions{Floor: k.floor})
		var few *num.TooFewError
		if errors.As(err, &few) {
			continue
		}
		if err != nil {
			return err
		}
		first[i] = bare(f, k.df > nearDF)
	}
	scales, shared, err := moderated(all, first, func(i int) float64 { return first[i].Scale * first[i].Scale })
	if err != nil {
		return err
	}
	lines, scores := make([]*panel.FixedEffectsFit, len(all)), make([]*panel.FixedEffectsFit, len(all))
	pseudo := make([][]num.Series, len(all))
	scatter := newNoise(all, shared)
	for i, k := range all {
		if first[i] == nil {
			continue
		}
		scale := math.Max(math.Sqrt(scales[i].variance), k.floor)
		line, err := panel.RobustFixedEffects(k.series, panel.FixedEffectsOptions{Scale: scale, Floor: k.floor, Near: k.near(first[i])})
		if err != nil {
			return err
		}
		values, err := panel.PseudoValues(k.series, scale)
		if err != nil {
			return err
		}
		score, err := panel.FixedEffects(values)
		if err != nil {
			return err
		}
		if scatter != nil && k.Part == "" {
			scatter.add(k, line, scale)
		}
		lines[i], scores[i] = bare(line, false), bare(score, false)
		if k.df <= gateDF {
			pseudo[i] = values
		}
	}
	ofLine, _, err := moderated(all, lines, func(i int) float64 { return lines[i].Variance })
	if err != nil {
		return err
	}
	ofTest, _, err := moderated(all, scores, func(i int) float64 { return scores[i].Variance })
	if err != nil {
		return err
	}
	for i, k := range all {
		if !k.noMarket {
			k.witness()
		}
		if lines[i] == nil {
			continue
		}
		f := lines[i]
		k.information = f.Information
		k.variance = math.Max(ofLine[i].variance, k.floor*k.floor)
		k.testVariance = math.Max(ofTest[i].variance, k.floor*k.floor)
		k.se, k.seDF = math.Sqrt(k.variance/f.Information+k.extra), ofLine[i].df
		k.PerYear = f.Slope * k.unit
		half := num.StudentQuantile(k.seDF, confidence) * k.se * k.unit
		k.Low, k.High = k.PerYear-half, k.PerYear+half
		if k.tested() {
			se := math.Sqrt(k.testVariance/f.Information + k.extra)
			k.testSlope = scores[i].Slope
			k.P = num.StudentP(k.testSlope, se, ofTest[i].df)
			if own := scores[i].Variance; k.Part != "" && own > k.testVariance {
				// The makers' common variance must not overrule a part that scatters
				// more: two slips among eight openings would then look like a change.
				k.P = math.Max(k.P, num.StudentP(k.testSlope, math.Sqrt(own/f.Information+k.extra), float64(scores[i].DF)))
			}
			if err := k.gate(pseudo[i], seed); err != nil {
				return err
			}
		}
	}
	return nil
}

// bare drops the residuals of a fit and, unless levels is set, the levels of the
// parts: for a million openings they need more memory than the log.
func bare(f *panel.FixedEffectsFit, levels bool) *panel.FixedEffectsFit {
	f.Residuals = nil
	if !levels {
		f.Levels = nil
	}
	return f
}

// near returns the fit at the maker's own scale if the fit at the moderated scale
// may start from it: with many openings both scales are close, and so are the
// fits.
func (k *candidate) near(first *panel.FixedEffectsFit) *panel.FixedEffectsFit {
	if first.Levels == nil || first.Scale == 0 {
		return nil
	}
	return first
}

// gate checks a small p against permutations of the openings within each part,
// which assume nothing about the noise: if the permutation p exceeds gateP, P is
// at least that. A variance shared with other makers must not turn one odd pair
// of openings into a finding.
func (k *candidate) gate(scores []num.Series, seed uint64) error {
	if !(k.P <= gateP) || k.df > gateDF {
		return nil
	}
	r, err := rank.WithinPermutation(scores, rank.PermutationOptions{Seed: seed, Most: gateOrders})
	if err != nil {
		return err
	}
	if r.P > gateP {
		k.P = math.Max(k.P, r.P)
	}
	return nil
}

// moderate is a moderated variance with its degrees of freedom.
type moderate struct{ variance, df float64 }

// moderated shrinks the variances of one measure towards the makers' common
// value.
func moderated(all []*candidate, fits []*panel.FixedEffectsFit, variance func(int) float64) ([]moderate, panel.Moderated, error) {
	var v, df []float64
	for i, k := range all {
		if fits[i] != nil && k.Part == "" {
			v, df = append(v, math.Max(variance(i), k.floor*k.floor)), append(df, float64(fits[i].DF))
		}
	}
	shared, err := panel.ModerateVariances(v, df)
	if err != nil {
		return nil, shared, err
	}
	out := make([]moderate, len(all))
	for i, k := range all {
		if fits[i] != nil {
			out[i].variance, out[i].df = shared.Move(math.Max(variance(i), k.floor*k.floor), float64(fits[i].DF))
		}
	}
	return out, shared, nil
}

// witnessPairs is the largest number of pairs of openings for which the Sen slope
// uses every pair. Above it each opening is paired only with the one half its
// part's openings later, which changes the median slope only by sampling error.
const witnessPairs = 20_000

// witness sets the blocked Kendall p and Sen slope, for comparison with the fit.
func (k *candidate) witness() {
	kendall, err := rank.BlockedKendall(k.series)
	if err != nil {
		return // no part was opened twice
	}
	if k.WitnessP = kendall.ExactP; math.IsNaN(k.WitnessP) {
		k.WitnessP = kendall.P
	}
	pairs := 0
	for _, b := range k.series {
		pairs += len(b.T) * (len(b.T) - 1) / 2
	}
	if pairs > witnessPairs {
		var slopes []float64
		for _, b := range k.series {
			for i, half := 0, (len(b.T)+1)/2; i+half < len(b.T); i++ {
				if dt := b.T[i+half] - b.T[i]; dt > 0 {
					slopes = append(slopes, (b.Y[i+half]-b.Y[i])/dt)
				}
			}
		}
		k.WitnessSlope = num.Median(slopes) * k.unit
		return
	}
	if sen, err := rank.BlockedSen(k.series, 0); err == nil {
		k.WitnessSlope = sen.Slope * k.unit
	}
}
