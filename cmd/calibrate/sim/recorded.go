package sim

import "math"

// Media area, can gauge and masses are normal on the log scale. They depend on
// the size of the product, which is standard normal, and on a second factor,
// called other below, for the can and what is in it besides the media; other is
// correlated with size.
const (
	areaSpread  = 0.30 // coefficient of size in the log area
	otherOnSize = 0.8  // coefficient of size in other
	otherSpread = 0.6  // residual standard deviation of other
	gaugeSpread = 0.13 // standard deviation of the log gauge
	canOnOther  = 0.18 // coefficient of other in the log can mass; that of the log gauge is 1
	canSpread   = 0.03 // residual standard deviation of the log can mass
	totalOnCan  = 0.5  // coefficient of the log can mass in the log total mass
	totalOther  = 0.12 // coefficient of other in the log total mass
	totalSpread = 0.08 // residual standard deviation of the log total mass
	betaMiddle  = 2.4  // mean log beta ratio of the first media type
	betaStep    = 0.8  // difference of the means of successive media types
	betaSpread  = 0.5  // standard deviation of the log beta ratio within a media type
)

// GaugeVariance is the variance of the log gauge, MediaVariance that of the
// indicator of one of the four media types.
const (
	GaugeVariance = gaugeSpread * gaugeSpread
	MediaVariance = 0.25 * 0.75
)

// Known is the conditional distribution of can gauge and media type given the
// recorded contents of a product, under the model by which contents are
// simulated.
type Known struct {
	Gauge  float64   // mean of log(gauge / middleGauge)
	Unsure float64   // its variance
	Media  []float64 // probability of each media type
}

// Premium returns the expected amount that can gauge and media type add to the
// log price by the rule.
func (k Known) Premium() float64 {
	sum := GaugePower * k.Gauge
	for m, chance := range k.Media {
		sum += chance * Premiums[m]
	}
	return sum
}

// Open returns the variance of that amount, which is due to blanks.
func (k Known) Open() float64 {
	first, second := 0.0, 0.0
	for m, chance := range k.Media {
		first += chance * Premiums[m]
		second += chance * Premiums[m] * Premiums[m]
	}
	return GaugePower*GaugePower*k.Unsure + second - first*first
}

// known returns the conditional distribution given the contents of p that are not
// blank.
func known(p *Product) Known {
	size := math.Log(p.Numbers[0]/middleArea) / areaSpread
	k := Known{Media: make([]float64, len(MediaTypes))}
	k.Gauge, k.Unsure = gaugeGiven(math.Log(p.Numbers[2]/middleGauge), math.Log(p.Numbers[1]/middleCan), math.Log(p.Numbers[3]/middleTotal), size)
	sum := 0.0
	for m, name := range MediaTypes {
		switch {
		case p.Words[0] == name:
			k.Media[m] = 1
		case p.Words[0] != "":
		case math.IsNaN(p.Numbers[4]):
			k.Media[m] = 1
		default:
			u := (-math.Log(1-p.Numbers[4]/100) - betaMiddle - betaStep*float64(m)) / betaSpread
			k.Media[m] = math.Exp(-u * u / 2)
		}
		sum += k.Media[m]
	}
	for m := range k.Media {
		k.Media[m] /= sum
	}
	return k
}

// gaugeGiven returns the conditional mean and variance of the log gauge given
// size and those of gauge, can mass and total mass that are not NaN, all as
// logarithms relative to their middle values.
func gaugeGiven(gauge, can, total, size float64) (mean, variance float64) {
	if !math.IsNaN(gauge) {
		return gauge, 0
	}
	const (
		own      = gaugeSpread * gaugeSpread
		other    = otherSpread * otherSpread
		canVar   = own + canOnOther*canOnOther*other + canSpread*canSpread
		totalOwn = totalOnCan * own // covariance of total and gauge
		totalCan = totalOnCan*canVar + totalOther*canOnOther*other
		totalVar = totalOnCan*totalOnCan*canVar + 2*totalOnCan*totalOther*canOnOther*other + totalOther*totalOther*other + totalSpread*totalSpread
	)
	can -= canOnOther * otherOnSize * size
	total -= (totalOnCan*canOnOther + totalOther) * otherOnSize * size
	switch noCan, noTotal := math.IsNaN(can), math.IsNaN(total); {
	case noCan && noTotal:
		return 0, own
	case noTotal:
		return own / canVar * can, own - own*own/canVar
	case noCan:
		return totalOwn / totalVar * total, own - totalOwn*totalOwn/totalVar
	}
	det := canVar*totalVar - totalCan*totalCan
	a, b := (own*totalVar-totalOwn*totalCan)/det, (totalOwn*canVar-own*totalCan)/det
	return a*can + b*total, own - a*own - b*totalOwn
}
