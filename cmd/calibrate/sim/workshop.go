package sim

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// steelDensity is the handbook value for mild steel, in g/cm³.
const steelDensity = 7.85

// workshop holds the makers, products and openings of a log.
type workshop struct {
	makers   []maker
	products []product
	openings []opening
	later    []column // see laterColumns
}

// maker is a maker and how its products change.
type maker struct {
	name, origin  string
	thinning      float64 // mm a year, from thinFrom on
	thinFrom      float64 // decimal year
	pleatsLost    int     // in one step at pleatsLostAt
	pleatsLostAt  float64
	weight        float64            // openings of each part, relative to other makers
	part          func(i int) string // name of part i
	numberOfParts int
}

// product is one part number with its mean values; those of single specimens scatter
// about them.
type product struct {
	maker int
	part  string

	od, height, width float64 // mm; width of the element
	gauge             float64 // mm
	surface           float64 // cm²
	elementOD         float64 // mm
	baseGauge         float64 // mm
	baseMass          float64 // g
	gasketOD          float64 // mm
	pleats            int
	depth             float64 // mm
	media             int     // index into medias
	grammage          float64 // g/m²
	thickness         float64 // mm
	frame             float64 // g: end caps, core and glue of the element
	spring, other     float64 // g
	holes             int
	holeDiameter      float64 // mm

	thread, endCaps, core, seam, bypass, bypassSpring, drainBack, magnet string

	efficiency, particle float64 // as claimed; 0 = nothing claimed
	pack                 int     // filters in the box
	priceLevel           float64 // log of the product's own price level
	priceFactor          float64 // 1, or what was planted
	openings             int     // number of openings; 0 = by the maker's weight
}

type media struct {
	name                    string
	grammage, thickness     float64   // means, g/m² and mm
	premium                 float64   // added to the log price
	efficiency, efficiency2 float64   // range of claimed efficiencies, per cent
	particle                []float64 // claimed particle sizes, µm
}

var medias = []media{
	{MediaTypes[0], 178, 0.66, -0.05, 88, 95, []float64{25, 30}},
	{MediaTypes[1], 195, 0.62, 0, 95, 98, []float64{20, 25}},
	{MediaTypes[2], 206, 0.54, 0.06, 98, 99.5, []float64{20, 20, 25}},
	{MediaTypes[3], 226, 0.72, 0.09, 99, 99.7, []float64{15, 20}},
}

func demoMakers() []maker {
	number := func(format string, first, step int) func(int) string {
		return func(i int) string { return fmt.Sprintf(format, first+i*step+i%3*2) }
	}
	makers := []maker{
		{origin: "Ostermark", weight: 1, part: number("SK %d", 1204, 17), numberOfParts: 9},
		{origin: "Lenholt", weight: 1, part: number("T-%d", 310, 25), numberOfParts: 8},
		{origin: "Varnia", weight: 1, part: number("VM%d", 2110, 34), numberOfParts: 7},
		{origin: "Lenholt", weight: 1.3, pleatsLost: 5, pleatsLostAt: 2023.5,
			part: number("PB-%d", 52, 11), numberOfParts: 8},
		{origin: "Ostermark", weight: 0.9, part: number("OV %d", 704, 13), numberOfParts: 7},
		{origin: "Dunsel", weight: 1.5, thinning: 0.010, thinFrom: 2022,
			part: number("L%d", 4015, 20), numberOfParts: 8},
		{origin: "Dunsel", weight: 0.9, part: number("BH-%d", 88, 16), numberOfParts: 7},
		{origin: "Varnia", weight: 0.9, part: number("W %d", 610, 45), numberOfParts: 6},
	}
	for i := range makers {
		makers[i].name = MakerName(i)
	}
	return makers
}

// demoWorkshop returns the harbour workshop: eight makers and sixty parts, of
// which three are overpriced and one is a bargain.
func demoWorkshop(r *rand.Rand) *workshop {
	w := &workshop{makers: demoMakers()}
	w.makeProducts(r)
	planted := []struct {
		maker  string
		index  int
		factor float64
	}{
		{"Thornquay", 3, 2.3},
		{"Veldmarsh", 1, 2.6},
		{"Wexcombe", 4, 2.2},
		{"Brackhollow", 2, 0.42},
	}
	for _, plant := range planted {
		p := &w.products[w.find(plant.maker, plant.index)]
		p.priceFactor, p.priceLevel, p.openings, p.pack = plant.factor, 0, 5, 1
	}
	return w
}

// numberedWorkshop returns a workshop with numbered makers: at least eight if
// there are as many parts, and with about fifty parts each in larger logs. One
// part in twenty is overpriced, one in sixty is a bargain, one maker in eight
// thins its cans and one in eight drops pleats.
func numberedWorkshop(r *rand.Rand, parts int) *workshop {
	makers := max(1, min(parts, max(8, parts/50)))
	w := &workshop{}
	for m := range makers {
		k := maker{name: fmt.Sprintf("Maker %03d", m+1), origin: "Ostermark", weight: 1}
		k.part = func(i int) string { return fmt.Sprintf("P%d-%04d", m+1, 7*i+11) }
		k.numberOfParts = parts / makers
		if m < parts%makers {
			k.numberOfParts++
		}
		switch m % 8 {
		case 3:
			k.pleatsLost, k.pleatsLostAt = 5, 2023.5
		case 5:
			k.thinning, k.thinFrom = 0.010, 2022
		}
		w.makers = append(w.makers, k)
	}
	w.makeProducts(r)
	for i := range w.products {
		switch {
		case i%20 == 7:
			w.products[i].priceFactor = 1.8 + 0.8*r.Float64()
		case i%60 == 13:
			w.products[i].priceFactor = 0.45
		}
	}
	return w
}

func (w *workshop) find(maker string, index int) int {
	for i, p := range w.products {
		if w.makers[p.maker].name == maker {
			if index == 0 {
				return i
			}
			index--
		}
	}
	panic("no such product: " + maker)
}

func (w *workshop) plantNothing() {
	for i := range w.makers {
		w.makers[i].thinning, w.makers[i].pleatsLost = 0, 0
	}
	for i := range w.products {
		w.products[i].priceFactor = 1
	}
}

func (w *workshop) makeProducts(r *rand.Rand) {
	for m, k := range w.makers {
		for i := range k.numberOfParts {
			p := makeProduct(r)
			p.maker, p.part = m, k.part(i)
			w.products = append(w.products, p)
		}
	}
}

// cutNormal returns a deviate of a normal distribution truncated at two standard
// deviations, so that only what is planted is extreme. Its standard deviation is
// 0.88 sd.
func cutNormal(r *rand.Rand, mean, sd float64) float64 {
	for {
		if z := r.NormFloat64(); math.Abs(z) < 2 {
			return mean + sd*z
		}
	}
}

func pick[T any](r *rand.Rand, from ...T) T { return from[r.IntN(len(from))] }

func between(r *rand.Rand, low, high float64) float64 { return low + (high-low)*r.Float64() }

func makeProduct(r *rand.Rand) product {
	p := product{priceFactor: 1, pack: 1}
	p.od = pick(r, 70.0, 74, 76, 76, 78, 82) + cutNormal(r, 0, 0.5)
	p.height = pick(r, 70.0, 72, 76, 80, 84, 88, 92) + cutNormal(r, 0, 1)
	p.width = p.height - cutNormal(r, 34, 2.5)
	// A shorter element has more pleats, to make up for the area lost.
	p.pleats = int(math.Round(cutNormal(r, 72-11*(p.width/25.4-1.3), 3.6)))
	p.depth = (p.od/2 - 4) * cutNormal(r, 0.32, 0.045)

	p.gauge = cutNormal(r, 0.47, 0.06)
	p.surface = (math.Pi*p.od*p.height + math.Pi/4*p.od*p.od) / 100 * cutNormal(r, 1, 0.012)
	p.baseGauge = cutNormal(r, 2.5, 0.25)
	p.baseMass = math.Pi / 4 * math.Pow((p.od-4)/10, 2) * p.baseGauge / 10 * steelDensity * cutNormal(r, 0.6, 0.03)
	p.gasketOD = p.od - cutNormal(r, 8, 1)
	p.elementOD = p.od - cutNormal(r, 6, 0.6)

	p.media = pick(r, 0, 0, 0, 1, 1, 1, 2, 2, 3)
	md := medias[p.media]
	p.grammage = md.grammage * math.Exp(cutNormal(r, 0, 0.05))
	p.thickness = md.thickness * math.Exp(cutNormal(r, 0, 0.07))
	p.endCaps = pick(r, "steel", "steel", "fibre", "nylon")
	p.core = pick(r, "perforated", "perforated", "louvred", "nylon", "coil")
	caps := map[string]float64{"steel": 13, "fibre": 4, "nylon": 7}[p.endCaps]
	core := map[string]float64{"perforated": 12, "louvred": 13, "nylon": 6, "coil": 9}[p.core]
	p.frame = (caps*math.Pow(p.od/76, 2) + core*p.width/45 + 2) * cutNormal(r, 1, 0.05)
	p.bypass = pick(r, "dome", "dome", "base", "none")
	p.bypassSpring = pick(r, "leaf", "coil")
	p.spring = cutNormal(r, 4.5, 0.5)
	if p.bypassSpring == "coil" {
		p.spring = cutNormal(r, 7, 0.8)
	}
	p.other = cutNormal(r, 14, 1.5)
	p.seam = pick(r, "crimped", "crimped", "glued")
	p.drainBack = pick(r, "silicone", "nitrile", "nitrile", "none")
	p.magnet = pick(r, "no", "no", "no", "no", "no", "yes")
	p.thread = pick(r, "M20x1.5", "M20x1.5", "3/4-16", "M18x1.5", "M22x1.5")
	p.holes = pick(r, 6, 6, 7, 8, 8)
	p.holeDiameter = cutNormal(r, 5.6, 0.5)
	if r.Float64() < 0.75 {
		p.efficiency = math.Round(between(r, md.efficiency, md.efficiency2))
		if p.efficiency > 98 {
			p.efficiency = pick(r, 99, 99, 99.5)
		}
		p.particle = pick(r, md.particle...)
	}
	if r.Float64() < 0.06 {
		p.pack = pick(r, 2, 3)
	}
	p.priceLevel = cutNormal(r, 0, 0.135)
	return p
}

// price returns the price of one filter of this product at decimal year t, for a
// media area in cm².
func (p *product) price(area, t float64) float64 {
	const (
		base     = 8.20 // price at the middle area in 2022
		middle   = 560  // cm²
		exponent = 0.88 // twice the area costs 1.84 times as much
		perBeta  = 0.02 // log price per unit of log beta
	)
	log := math.Log(base) + exponent*math.Log(area/middle) + medias[p.media].premium + p.priceLevel +
		Rise*(t-2022) + math.Log(p.priceFactor)
	if p.efficiency > 0 {
		beta := 1 / (1 - p.efficiency/100)
		log += perBeta * math.Log(beta/20)
	}
	if p.drainBack == "silicone" {
		log += 0.03
	}
	return math.Exp(log)
}
