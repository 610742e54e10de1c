package render

import (
	"fmt"
	"math"
	"slices"

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
		return rankingWords{"Most media for the money", "the most media for the money", "the least media for the money", "price per media area"}
	case roundup.PriceForContents:
		return rankingWords{"Above and below what the contents usually cost", "", "", "the price against what the contents usually cost"}
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
		why := fmt.Sprintf("%s, %d would do", counted(t.Noise.Pairs, "pair of openings of one part", "pairs of openings of one part"), roundup.FewestPairs)
		if t.Noise.Pairs >= roundup.FewestPairs {
			why = fmt.Sprintf("no two openings of one part differ, in %d pairs", t.Noise.Pairs)
		}
		who := productName(t.Places[0]) + " comes first"
		if ties := alike(t.Places); ties > 1 {
			who = fmt.Sprintf("%d parts come first together, %s among them", ties, productName(t.Places[0]))
		}
		points = append(points, fmt.Sprintf("In the order of the readings %s, but how sure that is cannot be said (%s; %s).",
			who, s.place(t, t.Places[0]), why))
	default:
		if t.Noise.Source == "readings" {
			points = append(points, fmt.Sprintf("What follows knows only how well the bench reads, not how much parts of one number differ (%s; %d would do).",
				counted(t.Noise.Pairs, "pair of openings of one part", "pairs of openings of one part"), roundup.FewestPairs))
		}
		points = append(points, s.end(t, t.Leaders(), w.first, false))
		if t.ID == roundup.CanGauge {
			points = append(points, s.end(t, t.Trailers(), w.last, true))
		}
	}
	if s := s.howSure(t, w.what); s != "" {
		points = append(points, s)
	}
	if t.ID == roundup.PriceForContents && s.r.Year != s.r.Years[len(s.r.Years)-1] {
		points = append(points, fmt.Sprintf("Prices are judged on every opening in the log, those after %d included (the log reaches to %d).", s.r.Year, s.r.Years[len(s.r.Years)-1]))
	}
	if t.Noise.Source == "openings" { // otherwise it was said above
		for _, warning := range t.Warnings {
			points = append(points, sentence(warning))
		}
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
		return fmt.Sprintf("%s has %s (%s).", productName(may[0]), what, s.place(t, may[0])) + s.second(t, last)
	}
	var named []string
	for _, p := range may[:min(len(may), toldPlaces)] {
		named = append(named, fmt.Sprintf("%s (%s)", productName(p), s.place(t, p)))
	}
	if more := len(may) - len(named); more > 0 {
		named = append(named, fmt.Sprintf("%d more", more))
	}
	any := fmt.Sprintf("any of %d parts", len(may))
	if len(may) == 2 {
		any = "either of two parts"
	}
	return fmt.Sprintf("The place is shared: %s may have %s: %s.", any, what, joined(named))
}

// second says who comes next to the first, or to the last.
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
		return fmt.Sprintf(" Next to it comes %s (%s).", productName(may[0]), s.value(t, may[0].Value))
	}
	end := may[len(may)-1]
	return fmt.Sprintf(" The place next to it is shared by %d parts, from %s (%s) to %s (%s).", len(may),
		productName(may[0]), s.value(t, may[0].Value), productName(end), s.value(t, end.Value))
}

// place says a value with its range and the places it may hold.
func (s speaker) place(t roundup.Table, p roundup.Place) string {
	text := s.value(t, p.Value)
	if !math.IsNaN(p.Low) {
		text += ", " + range95(oneUnit(s.value(t, p.Low), s.value(t, p.High)))
	}
	if p.RankLow > 0 && t.Noise.Source != "" {
		text += ", " + placeWords(p, t.N)
	}
	return text
}

func placeWords(p roundup.Place, of int) string {
	if !p.Shared {
		return fmt.Sprintf("place%s%s of%s%s", nbsp, thousands(p.RankLow), nbsp, thousands(of))
	}
	return fmt.Sprintf("places %s to%s%s of%s%s", thousands(p.RankLow), nbsp, thousands(p.RankHigh), nbsp, thousands(of))
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
		if t.ID == roundup.PriceForContents {
			return fmt.Sprintf("These ranges hold what the usual price leaves open and how much openings of one part differ in price per area (%s, standard deviation, %s).",
				size, counted(t.Noise.Pairs, "pair of openings", "pairs of openings"))
		}
		if t.ID == s.r.Tables[0].ID { // once is enough to a listener
			return fmt.Sprintf("How sure a place is follows from how much openings of one part differ: here by %s (standard deviation, %s).",
				size, counted(t.Noise.Pairs, "pair of openings", "pairs of openings"))
		}
		return fmt.Sprintf("Openings of one part differ in %s by %s (standard deviation, %s).", what, size,
			counted(t.Noise.Pairs, "pair of openings", "pairs of openings"))
	}
	return ""
}

// prices tells the products whose price is off, by the verdicts, then hints.
func (s speaker) prices(t roundup.Table) []string {
	var told, hints []price.Verdict
	for _, p := range t.Places {
		switch p.Verdict.Grade {
		case trend.Clear, trend.Probable:
			told = append(told, p.Verdict)
		case trend.Hint:
			hints = append(hints, p.Verdict)
		}
	}
	var points []string
	for _, v := range told[:min(len(told), maxListed)] {
		points = append(points, VerdictSentence(v, s.u)+" ("+VerdictEvidence(v, s.u)+".)")
	}
	if more := len(told) - maxListed; more > 0 {
		points = append(points, fmt.Sprintf("And %d more are clearly or probably off (all in the table).", more))
	}
	if len(told) == 0 {
		points = append(points, fmt.Sprintf("None of the parts opened costs clearly or probably more or less than its contents usually do (0 of %d).", t.N))
	}
	if len(hints) > 0 {
		var named []string
		for _, v := range hints[:min(len(hints), toldPlaces)] {
			named = append(named, Name(v.Maker, v.Part)+" ("+timesUsual(v.Ratio)+")")
		}
		if more := len(hints) - len(named); more > 0 {
			named = append(named, fmt.Sprintf("%d more", more))
		}
		points = append(points, fmt.Sprintf("No more than a hint: %s (of %d parts about %s lie as far off by chance).",
			joined(named), t.N, expectedByChance(t.N, 1-trend.Confidence)))
	}
	if rest := t.N - len(told) - len(hints); rest > 0 {
		who := "The others"
		if rest == t.N {
			who = "All"
		}
		points = append(points, fmt.Sprintf(who+" cost about what their contents usually do (%d of %d).", rest, t.N))
	}
	if m := moneySentence(s.r.MoneyOf); m != "" {
		points = append(points, m)
	}
	return points
}

// alike counts the places with the value of the first.
func alike(places []roundup.Place) int {
	n := 0
	for n < len(places) && places[n].Value == places[0].Value {
		n++
	}
	return n
}
