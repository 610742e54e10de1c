package sim

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"

	"pleatstat/dataset"
)

// MarketOptions are the options of NewMarket. The zero value means a small market
// without overpriced products or blanks, in which prices depend on the media area
// only.
type MarketOptions struct {
	Rows       int     // openings; 0 = 40
	Blanks     float64 // share of blank cells of every content but the media area, 0 to 1
	Overpriced float64 // share of products at 1.8 to 2.6 times their price by the rule
	Matter     bool    // prices depend on can gauge and media type too
	Noise      Noise   // of the products' log prices about the rule
	Shape      Shape   // replaces Noise unless it is ""
	Reopened   float64 // share of openings of a product that was opened before
	Seed       uint64
}

// The rule of the simulated prices.
const (
	AreaPower  = 0.9    // exponent of the media area
	GaugePower = 0.8    // exponent of the can gauge, if Matter is set
	Scatter    = 0.13   // standard deviation of the log price between products of equal contents
	Within     = 0.03   // standard deviation of the log price between purchases of a product
	Middle     = 2022.5 // decimal year in the middle of the log
	base       = 8.2    // price at the middle area, gauge and date, for a blend
	middleArea = 560    // cm²

	middleGauge, middleCan, middleTotal = 0.47, 90, 200 // mm, g, g
)

// Premiums are added to the log price for the media types, if Matter is set.
var Premiums = [...]float64{-0.10, 0, 0.10, 0.20}

// Product is one simulated product with its contents and prices. NaN and "" are
// blank cells.
type Product struct {
	Maker, Part string
	Expected    float64 // log price by the rule at the time of its latest opening
	// Recorded is the expected value of Expected given the contents that are not
	// blank; Known is the conditional distribution of those on which prices depend.
	Recorded float64
	Known    Known
	Clean    bool      // not overpriced
	Opened   float64   // mean decimal year of its openings
	Paid     float64   // mean log price
	Numbers  []float64 // in the order of NumberNames
	Words    []string  // in the order of WordNames
}

// NumberNames and WordNames are the column names of a Product's contents.
var (
	NumberNames = []string{"media_area", "can_mass", "can_gauge", "total_mass", "claimed_efficiency"}
	WordNames   = []string{"media_type", "drain_back", "magnet"}
)

// Market is a simulated log and the truth about its products.
type Market struct {
	CSV      []byte
	Matter   bool      // as in its MarketOptions
	Products []Product // in order of first appearance
}

// Log returns the market's log as the tool reads it.
func (m *Market) Log() (*dataset.Log, error) {
	return dataset.Read(bytes.NewReader(m.CSV), "market.csv", dataset.Options{})
}

// NewMarket simulates a market. Equal options give equal markets.
func NewMarket(o MarketOptions) *Market {
	if o.Rows == 0 {
		o.Rows = 40
	}
	rng := rand.New(rand.NewPCG(o.Seed, 0x9a4c))
	m := &Market{Matter: o.Matter}
	again := int(math.Round(o.Reopened * float64(o.Rows)))
	for i := range max(o.Rows-again, 1) {
		m.Products = append(m.Products, drawProduct(rng, o, i))
	}
	var text bytes.Buffer
	w := csv.NewWriter(&text)
	header := append([]string{"opened", "maker", "part", "price"}, "media_area_cm2", "can_mass_g", "can_gauge_mm", "total_mass_g", "claimed_efficiency_pct")
	lines := [][]string{append(header, WordNames...)}
	type sums struct{ n, when, paid, latest float64 }
	sum := make([]sums, len(m.Products))
	for row := range o.Rows {
		i := row
		if row >= len(m.Products) {
			i = rng.IntN(len(m.Products))
		}
		p := &m.Products[i]
		month := rng.IntN(84) // 2019 to 2025
		when := 2019 + (float64(month)+0.5)/12
		log := p.Paid + Rise*(when-Middle) + Within*rng.NormFloat64()
		price := math.Round(100*math.Exp(log)) / 100
		line := []string{fmt.Sprintf("%d-%02d", 2019+month/12, 1+month%12), p.Maker, p.Part, strconv.FormatFloat(price, 'f', 2, 64)}
		for k, v := range p.Numbers {
			line = append(line, cell(v, []int{1, 1, 3, 1, 2}[k]))
		}
		lines = append(lines, append(line, p.Words...))
		s := &sum[i]
		s.n++
		s.when += when
		s.paid += math.Log(price)
		s.latest = math.Max(s.latest, when)
	}
	for i := range m.Products {
		p, s := &m.Products[i], sum[i]
		p.Opened, p.Paid = s.when/s.n, s.paid/s.n
		p.Expected += Rise * (s.latest - Middle)
		p.Recorded += Rise * (s.latest - Middle)
	}
	w.WriteAll(lines) // cannot fail: writes to memory
	m.CSV = text.Bytes()
	return m
}

func cell(v float64, decimals int) string {
	if math.IsNaN(v) {
		return ""
	}
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if decimals == 3 {
		s += "0" // three decimals could be read as thousands
	}
	return s
}

// drawProduct simulates the contents of product i. Its Expected, Recorded and
// Paid are the log prices at the date Middle.
func drawProduct(rng *rand.Rand, o MarketOptions, i int) Product {
	maker := makerNames[rng.IntN(len(makerNames))]
	p := Product{Maker: maker, Part: fmt.Sprintf("%c%d", maker[0], 1000+7*i), Clean: true}
	size := rng.NormFloat64()
	other := otherOnSize*size + otherSpread*rng.NormFloat64()
	area := areaSpread * size
	gauge := gaugeSpread * rng.NormFloat64()
	can := canOnOther*other + gauge + canSpread*rng.NormFloat64()
	total := totalOnCan*can + totalOther*other + totalSpread*rng.NormFloat64()
	media := rng.IntN(len(MediaTypes))
	drain := []string{"silicone", "nitrile", "none"}[rng.IntN(3)]
	magnet := "no"
	if rng.Float64() < 0.17 {
		magnet = "yes"
	}
	beta := math.Exp(betaMiddle + betaStep*float64(media) + betaSpread*rng.NormFloat64())
	p.Numbers = []float64{middleArea * math.Exp(area), middleCan * math.Exp(can), middleGauge * math.Exp(gauge), middleTotal * math.Exp(total), 100 * (1 - 1/beta)}
	p.Words = []string{MediaTypes[media], drain, magnet}

	p.Expected = math.Log(base) + AreaPower*area
	byArea := p.Expected
	if o.Matter {
		p.Expected += GaugePower*gauge + Premiums[media]
	}
	deviation := o.Noise.deviate
	if o.Shape != "" {
		deviation = o.Shape.Deviation
	}
	p.Paid = p.Expected + Scatter*deviation(rng)
	if rng.Float64() < o.Overpriced {
		p.Clean = false
		p.Paid += math.Log(1.8 + 0.8*rng.Float64())
	}
	for k := range p.Numbers {
		if k > 0 && rng.Float64() < o.Blanks {
			p.Numbers[k] = math.NaN()
		}
	}
	for k := range p.Words {
		if rng.Float64() < o.Blanks {
			p.Words[k] = ""
		}
	}
	p.Known, p.Recorded = known(&p), byArea
	if o.Matter {
		p.Recorded += p.Known.Premium()
	}
	return p
}
