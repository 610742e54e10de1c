package render

import (
	"fmt"
	"math"

	"pleatstat/stats/price"
	"pleatstat/stats/roundup"
	"pleatstat/stats/trend"
)

// toldPlaces is the number of products named at one end of a ranking.
const toldPlaces = 3

func trendWords(column string) string { return trend.Words(column) }

// rankingWords of a table: its title, what the first and the last have, and what
// is compared.
type rankingWords struct{ title, first, last, what string }

func wordsOfRanking(id string) rankingWords {
	switch id {
	case roundup.BestValue:
		return rankingWords{"Best value: the most media for the money", "the most media for the money", "the least media for the money", "price per media area"}
	case roundup.PriceForContents:
		return rankingWords{"Priced above and below what the contents predict", "", "", "the price against what the contents predict"}
	case roundup.CanGauge:
		return rankingWords{"The thickest and the thinnest can", "the thickest can", "the thinnest can", "can gauge"}
	case roundup.MediaArea:
		return rankingWords{"The most media", "the most media", "the least media", "media area"}
	case roundup.PleatDepth:
		return rankingWords{"The deepest pleats", "the deepest pleats", "the shallowest pleats", "pleat depth"}
	case roundup.MassForSize:
		return rankingWords{"The heaviest for its size", "the most mass for its size", "the least mass for its size", "total mass against what the can's size predicts"}
	}
	return rankingWords{trend.Words(id), "the most", "the least", trend.Words(id)}
}

func (s speaker) tableTitle(t roundup.Table) string { return wordsOfRanking(t.ID).title }

// table says who stands where in a ranking, and how sure that is.
func (s speaker) table(t roundup.Table) []string {
	w := wordsOfRanking(t.ID)
	if t.TooFew {
		return []string{fmt.Sprintf("Too few to say (%s of %d with a value; %d would do).", counted(t.N, "part", "parts"), s.r.Year, t.Needed)}
	}
	var points []string
	switch {
	case t.ID == roundup.PriceForContents:
		points = s.prices(t)
	case t.Noise.Source == "":
		points = append(points, fmt.Sprintf("In the order of the readings %s comes first, but how sure that is cannot be said (%s).",
			productName(t.Places[0]), s.place(t, t.Places[0])))
	default:
		points = append(points, s.end(t, t.Leaders(), w.first, false))
		if t.ID == roundup.CanGauge {
			points = append(points, s.end(t, t.Trailers(), w.last, true))
		}
	}
	if s := s.howSure(t, w.what); s != "" {
		points = append(points, s)
	}
	for _, warning := range t.Warnings {
		points = append(points, sentence(warning))
	}
	return points
}

func productName(p roundup.Place) string { return Name(p.Maker, p.Part) }

// end names the products that may hold the first (or last) place.
func (s speaker) end(t roundup.Table, may []roundup.Place, what string, last bool) string {
	switch len(may) {
	case 0: // a very long table: ranges of the ends only
		return fmt.Sprintf("Who has %s cannot be told from so many that lie so close (%s).", what, counted(t.N, "part", "parts"))
	case 1:
		text := fmt.Sprintf("%s has %s (%s", productName(may[0]), what, s.place(t, may[0]))
		if next, ok := neighbour(t, last); ok {
			text += fmt.Sprintf("; next comes %s with %s", productName(next), s.value(t, next.Value))
		}
		return text + ")."
	}
	var named []string
	for _, p := range may[:min(len(may), toldPlaces)] {
		named = append(named, fmt.Sprintf("%s (%s)", productName(p), s.place(t, p)))
	}
	if more := len(may) - len(named); more > 0 {
		named = append(named, fmt.Sprintf("%d more", more))
	}
	return fmt.Sprintf("The place is shared: any of %d parts may have %s: %s.", len(may), what, joined(named))
}

// neighbour is the product next to the first, or to the last.
func neighbour(t roundup.Table, last bool) (roundup.Place, bool) {
	if len(t.Places) < 2 {
		return roundup.Place{}, false
	}
	if last {
		return t.Places[len(t.Places)-2], true
	}
	return t.Places[1], true
}

// place says a value with its range and the places it may hold.
func (s speaker) place(t roundup.Table, p roundup.Place) string {
	text := s.value(t, p.Value)
	if !math.IsNaN(p.Low) {
		text += ", " + range95(s.value(t, p.Low), s.value(t, p.High))
	}
	if p.RankLow > 0 && t.Noise.Source != "" {
		text += ", " + placeWords(p, t.N)
	}
	return text
}

func placeWords(p roundup.Place, of int) string {
	if !p.Shared {
		return fmt.Sprintf("place%s%d of%s%d", nbsp, p.RankLow, nbsp, of)
	}
	return fmt.Sprintf("places %d to%s%d of%s%d", p.RankLow, nbsp, p.RankHigh, nbsp, of)
}

// value says a value of a ranking.
func (s speaker) value(t roundup.Table, v float64) string {
	if t.Ratio {
		return signedPercent(v - 1)
	}
	return quantity(s.u, t.Measure, v)
}

// signedPercent is a share with its sign, to a tenth of a per cent below ten.
func signedPercent(v float64) string {
	decimals := 0
	if math.Abs(v) < 0.0995 {
		decimals = 1
	}
	text := fixed(100*math.Abs(v), decimals) + nbsp + "%"
	switch {
	case !hasDigit(text):
		return text
	case v < 0:
		return "−" + text
	}
	return "+" + text
}

// howSure says what the ranges rest on.
func (s speaker) howSure(t roundup.Table, what string) string {
	switch t.Noise.Source {
	case "openings":
		size := fixed(100*t.Noise.SD, 1) + nbsp + "%"
		if !t.Log {
			size = precise(s.u, t.Measure, t.Noise.SD, decimalsFor(t.Noise.SD*s.u.Of(t.Measure).PerBase))
		}
		return fmt.Sprintf("The ranges come from how much openings of one part differ in %s (standard deviation %s, from %s).",
			what, size, counted(t.Noise.Pairs, "pair of openings", "pairs of openings"))
	}
	return ""
}

// prices tells the products whose price lies clearly off, by their verdicts.
func (s speaker) prices(t roundup.Table) []string {
	var points []string
	above, below := 0, 0
	for _, p := range t.Places {
		switch price.Verdict(p.Verdict) {
		case price.Overpriced:
			above++
			points = append(points, s.priceOff(t, p, "above"))
		case price.Bargain:
			below++
			points = append(points, s.priceOff(t, p, "below"))
		}
	}
	if len(points) > 2*maxListed { // a listener is lost; the table has them all
		points = append(points[:maxListed:maxListed], fmt.Sprintf("And %d more lie clearly off (%d above, %d below in all).", len(points)-maxListed, above, below))
	}
	rest := t.N - above - below
	switch {
	case above+below == 0:
		points = append(points, fmt.Sprintf("None of the parts opened is priced clearly off what its contents predict (0 of %d).", t.N))
	case rest > 0:
		points = append(points, fmt.Sprintf("The others lie inside the range that their contents leave open, or not clearly outside (%d of %d).", rest, t.N))
	}
	return points
}

func (s speaker) priceOff(t roundup.Table, p roundup.Place, side string) string {
	return fmt.Sprintf("%s is priced %s what its contents predict: %s where about %s would be expected (%s; %s behind it).",
		productName(p), side, quantity(s.u, "price", p.Paid), quantity(s.u, "price", p.Fair), s.place(t, p), counted(p.N, "opening", "openings"))
}
