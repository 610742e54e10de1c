package card

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats/num"
	"pleatstat/stats/price"
	"pleatstat/stats/roundup"
)

// gasketTolerance is how far the outside diameters of two gaskets may differ, mm,
// to seal on the same face. Common practice, no source.
const gasketTolerance = 1.0

// Room is the space a can must fit into, mm; 0 = no limit.
type Room struct {
	Width  float64 `json:"width"`
	Height float64 `json:"height"`
}

// Mount lists the parts with the same thread and, where both are known, the same
// gasket, ordered by media per money, most first. That a filter screws on does
// not make it a replacement.
type Mount struct {
	Thread   string      `json:"thread"` // as written; "" = not recorded, so that no part can be listed
	Gasket   float64     `json:"gasket_od"`
	Room     *Room       `json:"room"` // nil = no limit
	Parts    []SameMount `json:"parts"`
	NoGasket int         `json:"gasket_not_known"` // listed parts whose gasket, or that of the part itself, is not recorded
	Gaskets  int         `json:"other_gasket"`     // left out: same thread, another gasket
	TooLarge int         `json:"too_large"`        // left out: do not fit into Room
	NoSize   int         `json:"size_not_known"`   // left out: size not recorded, with Room given
}

// SameMount is a part with the same mount. Missing numbers are NaN.
type SameMount struct {
	Maker        string        `json:"maker"`
	Part         string        `json:"part"`
	MediaArea    float64       `json:"media_area"`
	AreaPerMoney float64       `json:"media_area_per_money"` // cm² per unit of the log's currency, in the money of the last opening
	Gauge        float64       `json:"can_gauge"`
	Gasket       float64       `json:"gasket_od"`
	OD           float64       `json:"can_od"`
	Height       float64       `json:"can_height"`
	Openings     int           `json:"openings"`
	Verdict      price.Verdict `json:"verdict"`
	Itself       bool          `json:"itself"` // the part of the card
}

// threads returns the thread of each product: the one recorded for most openings.
func (b *Basis) threads() map[price.Product]string {
	count := map[price.Product]map[string]int{}
	all := b.Log.Strings("thread")
	for row, thread := range all {
		if thread == "" {
			continue
		}
		p := ProductOf(b.Log, row)
		if count[p] == nil {
			count[p] = map[string]int{}
		}
		count[p][thread]++
	}
	out := map[price.Product]string{}
	for p, words := range count {
		best := ""
		for w, n := range words {
			if best == "" || n > words[best] || n == words[best] && w < best {
				best = w
			}
		}
		out[p] = best
	}
	return out
}

// middles returns the median of a column over the openings of each product.
func (b *Basis) middles(column string) map[price.Product]float64 {
	b.guard.Lock()
	defer b.guard.Unlock()
	if known, ok := b.middle[column]; ok {
		return known
	}
	values := map[price.Product][]float64{}
	for row, v := range b.Log.Floats(column) {
		if known(v) {
			p := ProductOf(b.Log, row)
			values[p] = append(values[p], v)
		}
	}
	out := map[price.Product]float64{}
	for p, v := range values {
		out[p] = num.Median(v)
	}
	b.middle[column] = out
	return out
}

// present returns a column as each product is made today, from a ranking of it;
// the median for products that are not ranked.
func (b *Basis) present(column, ranking string) map[price.Product]float64 {
	out := maps.Clone(b.middles(column))
	for _, t := range b.tables("") {
		if t.ID == ranking {
			for _, p := range t.Places {
				out[price.Product{Maker: p.Maker, Part: p.Part}] = p.Value
			}
		}
	}
	return out
}

// mount finds the parts with the same mount as a product.
func (b *Basis) mount(p price.Product, room Room) Mount {
	threads, gaskets := b.thread, b.middles("gasket_od")
	areas, gauges := b.present("media_area", roundup.MediaArea), b.present("can_gauge", roundup.CanGauge)
	ods, heights := b.middles("can_od"), b.middles("can_height")
	of := func(m map[price.Product]float64, q price.Product) float64 {
		if v, ok := m[q]; ok {
			return v
		}
		return math.NaN()
	}
	out := Mount{Thread: threads[p], Gasket: of(gaskets, p)}
	if room != (Room{}) {
		out.Room = &room
	}
	if out.Thread == "" {
		return out
	}
	for _, v := range b.Model.Verdicts() {
		q := price.Product{Maker: v.Maker, Part: v.Part}
		if !dataset.SameThread(threads[q], out.Thread) {
			continue
		}
		s := SameMount{Maker: v.Maker, Part: v.Part, MediaArea: of(areas, q), AreaPerMoney: math.NaN(), Gauge: of(gauges, q), Gasket: of(gaskets, q),
			OD: of(ods, q), Height: of(heights, q), Openings: len(b.rows[q]), Verdict: v, Itself: q == p}
		if s.AreaPerMoney = s.MediaArea / v.Price; !known(s.AreaPerMoney) {
			s.AreaPerMoney = math.NaN()
		}
		switch {
		case s.Itself:
		case math.Abs(s.Gasket-out.Gasket) > gasketTolerance:
			out.Gaskets++
			continue
		case room.Width > 0 && s.OD > room.Width || room.Height > 0 && s.Height > room.Height:
			out.TooLarge++
			continue
		case room.Width > 0 && math.IsNaN(s.OD) || room.Height > 0 && math.IsNaN(s.Height):
			out.NoSize++
			continue
		case math.IsNaN(s.Gasket - out.Gasket):
			out.NoGasket++
		}
		out.Parts = append(out.Parts, s)
	}
	slices.SortStableFunc(out.Parts, func(a, b SameMount) int {
		return cmp.Or(cmp.Compare(b.forMoney(), a.forMoney()), cmp.Compare(a.Maker, b.Maker), cmp.Compare(a.Part, b.Part))
	})
	return out
}

// forMoney is the sort key of parts: those without a price or an area come last.
func (s SameMount) forMoney() float64 {
	if math.IsNaN(s.AreaPerMoney) {
		return 0
	}
	return s.AreaPerMoney
}
