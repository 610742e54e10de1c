package sim

import "math"

// The contents of a product come from its size and from a second size of its
// can and what stands in it, both standard normal, and from noise.
const (
	areaSpread  = 0.30 // of log area a unit of size
	otherOnSize = 0.8
	otherSpread = 0.6
	gaugeSpread = 0.13
	canOnOther  = 0.18 // and 1 on the log gauge
	canSpread   = 0.03
	totalOnCan  = 0.5
	totalOther  = 0.12
	totalSpread = 0.08
	betaMiddle  = 2.4 // log beta ratio of the first media type
	betaStep    = 0.8 // from one media type to the next
	betaSpread  = 0.5
)

// GaugeVariance and MediaVariance are the variances of the log gauge and of
// whether a product has a certain media type.
const (
	GaugeVariance = gaugeSpread * gaugeSpread
	MediaVariance = 0.25 * 0.75
)

// Known is what the recorded contents of a product say about those that move
// prices, to one who knows how contents go together.
type Known struct {
	Gauge  float64   // expected log gauge about the middle one
	Unsure float64   // variance of that
	Media  []float64 // chance of each media type
}

// Premium is what the rule leads one to expect these contents to add to the log
// price.
func (k Known) Premium() float64 {
	sum := GaugePower * k.Gauge
	for m, chance := range k.Media {
		sum += chance * Premiums[m]
	}
	return sum
}

// Open is the variance of the log price that blanks leave open.
func (k Known) Open() float64 {
	first, second := 0.0, 0.0
	for m, chance := range k.Media {
		first += chance * Premiums[m]
		second += chance * Premiums[m] * Premiums[m]
	}
	return GaugePower*GaugePower*k.Unsure + second - first*first
}

// known works out what the recorded of a product's contents say.
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

// gaugeGiven is mean and variance of the log gauge, given size and those of
// gauge, can mass and total mass that are no NaN, all as logs about their middle.
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
