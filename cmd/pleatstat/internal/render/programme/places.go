package programme

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/price"
	"pleatstat/stats/roundup"
	"pleatstat/stats/trend"
)

// RankingWords are the words for a ranking: its title, what the first and the last
// have, and what is compared.
type RankingWords struct{ title, First, Last, what string }

// WordsOfRanking returns the words for the ranking with an ID.
func WordsOfRanking(id string) RankingWords {
	switch id {
	case roundup.BestValue:
		return RankingWords{"Most media for the money", "the most media for the money", "the least media for the money", "price per media area"}
	case roundup.PriceForContents:
		return RankingWords{"Above and below what the contents usually cost", "", "", "the price against what the contents usually cost"}
	case roundup.CanGauge:
		return RankingWords{"The thickest and the thinnest can", "the thickest can", "the thinnest can", "can gauge"}
	case roundup.MediaArea:
		return RankingWords{"The most media", "the most media", "the least media", "media area"}
	case roundup.PleatDepth:
		return RankingWords{"The deepest pleats", "the deepest pleats", "the shallowest pleats", "pleat depth"}
	case roundup.MassForSize:
		return RankingWords{"The heaviest for its size", "the most mass for its size", "the least mass for its size", "total mass against what cans of that size usually have"}
	}
	return RankingWords{catalogue.Words(id), "the most", "the least", catalogue.Words(id)}
}

// table returns sentences on who is where in a ranking; nil if too few have a value.
func (s speaker) table(t roundup.Table) []string {
	w := WordsOfRanking(t.ID)
	switch {
	case t.TooFew:
		return nil
	case t.ID == roundup.PriceForContents:
		return s.prices(t)
	case t.Noise.Source == "" && len(t.Places) > 1 && t.Places[1].Value == t.Places[0].Value:
		return []string{fmt.Sprintf("By the readings several parts have %s, %s among them: %s.", w.First, productName(t.Places[0]), s.value(t, t.Places[0].Value))}
	case t.Noise.Source == "":
		return []string{fmt.Sprintf("By the readings %s has %s: %s.", productName(t.Places[0]), w.First, s.value(t, t.Places[0].Value))}
	}
	points := s.end(t, t.Leaders(), w.First, false)
	if t.ID == roundup.CanGauge {
		points = append(points, s.end(t, t.Trailers(), w.Last, true)...)
	}
	points[0] = s.amongMeasured(t, points[0])
	return points
}

// amongMeasured adds to a sentence how many parts have readings to rank by, if not all
// of the year's parts have.
func (s speaker) amongMeasured(t roundup.Table, sentence string) string {
	if t.N >= s.r.Opened.Products {
		return sentence
	}
	if !strings.HasPrefix(sentence, productName(t.Places[0])) {
		sentence = wording.LowerFirst(sentence)
	}
	return fmt.Sprintf("Of the %s with readings for it, %s", wording.Counted(t.N, "part", "parts"), sentence)
}

func productName(p roundup.Place) string { return wording.Name(p.Maker, p.Part) }

// end names the products that may hold the first (or last) place.
func (s speaker) end(t roundup.Table, may []roundup.Place, what string, last bool) []string {
	if len(may) == 0 { // a very long table: only its ends were examined
		return []string{fmt.Sprintf("Who has %s can't be told: too many lie too close.", what)}
	}
	at := t.Places[0]
	if last {
		at = t.Places[len(t.Places)-1]
	}
	if len(may) == 1 {
		phrases := []string{fmt.Sprintf("%s has %s: %s.", productName(may[0]), what, s.value(t, may[0].Value))}
		if next := s.second(t, last); next != "" {
			phrases = append(phrases, next)
		}
		return phrases
	}
	if len(may) > 3 {
		return []string{fmt.Sprintf("%s parts lie too close to tell which has %s; by the readings it is %s: %s.", wording.UpperFirst(wording.Spelt(len(may))), what, productName(at), s.value(t, at.Value))}
	}
	var named []string
	for _, p := range may {
		named = append(named, fmt.Sprintf("%s (%s)", productName(p), s.value(t, p.Value)))
	}
	return []string{fmt.Sprintf("It is too close to tell which has %s: %s.", what, wording.Joined(named))}
}

// second returns a sentence on who comes after the first, or before the last.
func (s speaker) second(t roundup.Table, last bool) string {
	next := 2
	if last {
		next = t.N - 1
	}
	var may []roundup.Place
	for _, p := range t.Places {
		if p.RankLow > 0 && p.RankLow <= next && next <= p.RankHigh {
			may = append(may, p)
		}
	}
	if last {
		slices.Reverse(may)
	}
	switch {
	case len(may) == 0 || t.N < 3:
		return ""
	case len(may) == 1:
		return fmt.Sprintf("Next comes %s with %s.", productName(may[0]), s.value(t, may[0].Value))
	}
	if len(may) > maxMore {
		return fmt.Sprintf("Next come %s parts too close to tell apart.", wording.Spelt(len(may)))
	}
	var named []string
	for _, p := range may {
		named = append(named, productName(p))
	}
	return fmt.Sprintf("Next come %s, too close to tell apart.", wording.Joined(named))
}

// value returns a value of a ranking: from 100 up without decimals, and a ratio as a
// difference in per cent.
func (s speaker) value(t roundup.Table, v float64) string {
	if t.Ratio {
		return wording.Percent(math.Abs(v-1)) + map[bool]string{true: " more", false: " less"}[v >= 1] + " than usual"
	}
	unit := s.u.Of(t.Measure)
	shown := math.Abs(v * unit.PerBase)
	if shown < 100 || !(shown < 1e15) {
		return wording.Quantity(s.u, t.Measure, v)
	}
	return wording.Precise(s.u, t.Measure, v, 0)
}

// prices returns sentences on the products whose price is off, by their verdicts.
func (s speaker) prices(t roundup.Table) []string {
	all := s.verdicts()
	above, below := prices.WithGrade(all, price.Above, trend.Clear, trend.Probable), prices.WithGrade(all, price.Below, trend.Clear, trend.Probable)
	hints := slices.Concat(prices.WithGrade(all, price.Above, trend.Hint), prices.WithGrade(all, price.Below, trend.Hint))
	most := maxMore
	if len(above)+len(below) > most || len(hints) > 0 { // a sentence on the rest
		most--
	}
	listed := append(above[:min(len(above), max(most-1, most-len(below)))], below...)
	listed = listed[:min(len(listed), most)]
	var points []string
	for _, v := range listed {
		points = append(points, prices.Sentence(v, s.u))
	}
	switch more := len(above) + len(below) - len(listed); {
	case more > 0:
		points = append(points, fmt.Sprintf("The table has %s more, clearly or probably off.", wording.Spelt(more)))
	case len(hints) > 0:
		var named []string
		for _, v := range hints {
			named = append(named, wording.Name(v.Maker, v.Part)+" ("+wording.Money(s.u, v.Price)+", usual "+wording.Money(s.u, v.Fair)+")")
		}
		points = append(points, "A hint only: "+wording.Joined(wording.Cut(named, maxMore))+".")
	}
	if m := prices.MoneySentence(s.r.MoneyOf); m != "" && len(points) > 0 {
		points = append(points, m)
	}
	return points
}
