package drift

import (
	"errors"
	"math"

	"pleatstat/stats/num"
	"pleatstat/stats/panel"
	"pleatstat/stats/rank"
)

const (
	// gateP is the p by permutation up to which the test's own p stands; above
	// gateDF the two agree and gateOrders would tell nothing new.
	gateP      = 0.02
	gateDF     = 200
	gateOrders = 2000
	// nearDF is the number of degrees of freedom above which the second fit
	// starts from the first.
	nearDF = 200
)

// fit sets slope, range and p of every candidate of one measure. Variances are
// moderated over the makers; those of single parts move towards what the
// makers have in common.
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
				// What makers have in common must not overrule a part that scatters
				// more: with two slips among eight openings it is those.
				k.P = math.Max(k.P, num.StudentP(k.testSlope, math.Sqrt(own/f.Information+k.extra), float64(scores[i].DF)))
			}
			if err := k.gate(pseudo[i], seed); err != nil {
				return err
			}
		}
	}
	return nil
}

// bare drops what a fit says of every value, and but for levels asked for of
// every part: of a million openings that is more than the log.
func bare(f *panel.FixedEffectsFit, levels bool) *panel.FixedEffectsFit {
	f.Residuals = nil
	if !levels {
		f.Levels = nil
	}
	return f
}

// near is the fit at the maker's own scale where the one at the moderated scale
// may start from it: with many openings both scales are alike, and one slope
// fits best.
func (k *candidate) near(first *panel.FixedEffectsFit) *panel.FixedEffectsFit {
	if first.Levels == nil || first.Scale == 0 {
		return nil
	}
	return first
}

// gate holds a small p against the orders in which the openings of each part
// could have come, which assumes nothing of their noise: where more than one
// order in fifty shows as much, P is that share. A variance shared with other
// makers must not turn one odd pair of openings into a finding.
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

// moderate is a variance after moderation.
type moderate struct{ variance, df float64 }

// moderated moves the variances of one measure towards what its makers have in
// common.
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

// witnessPairs is the largest number of pairs of openings whose slopes the
// witness lists. Above it each opening is paired with the one half its part's
// openings later, which leaves the median slope as it is but for chance.
const witnessPairs = 20_000

// witness sets the blocked Kendall p and Sen slope.
func (k *candidate) witness() {
	kendall, err := rank.BlockedKendall(k.series)
	if err != nil {
		return // no part opened twice: there is no witness
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
