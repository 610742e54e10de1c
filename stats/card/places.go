package card

import (
	"math"

	"pleatstat/dataset"
	"pleatstat/stats/price"
)

// Place is a part's place in a ranking, with the range left by the scatter
// between openings of one part.
type Place struct {
	Ranking string  `json:"ranking"` // ID of a table of package roundup
	Measure string  `json:"measure"` // column of the value; "" = a ratio
	Thread  string  `json:"thread"`  // ranked among the parts with this thread; "" = among all
	Rank    int     `json:"rank"`    // 1 = first
	Of      int     `json:"of"`
	Low     int     `json:"rank_low"` // 0 = not known
	High    int     `json:"rank_high"`
	Value   float64 `json:"value"` // base units
	N       int     `json:"n"`     // number of openings
}

// fewestOfThread is the least number of parts with one thread for a ranking of
// their own.
const fewestOfThread = 5

// places returns a part's places among all parts, then among those with its
// thread.
func (b *Basis) places(p price.Product, thread string) []Place {
	out := placesIn(b.tables(""), p, "")
	if thread != "" {
		out = append(out, placesIn(b.tables(thread), p, thread)...)
	}
	return out
}

// tables ranks all parts, or those with a thread.
func (b *Basis) tables(thread string) []Table {
	b.guard.Lock()
	defer b.guard.Unlock()
	key := threadKey(thread)
	if found, ok := b.ranked[key]; ok {
		return found
	}
	var only func(maker, part string) bool
	if key != "" {
		only = func(maker, part string) bool {
			return dataset.SameThread(b.thread[price.Product{Maker: maker, Part: part}], thread)
		}
	}
	b.ranked[key] = b.today.Tables(only)
	return b.ranked[key]
}

// threadKey returns the same key for all spellings of one thread.
func threadKey(thread string) string {
	if t, ok := dataset.ParseThread(thread); ok {
		return t.String()
	}
	return thread
}

func placesIn(tables []Table, p price.Product, thread string) []Place {
	var out []Place
	for _, t := range tables {
		if t.TooFew || thread != "" && t.N < fewestOfThread {
			continue
		}
		for _, at := range t.Places {
			if at.Maker != p.Maker || at.Part != p.Part {
				continue
			}
			place := Place{Ranking: t.ID, Measure: t.Measure, Thread: thread, Rank: at.Rank, Of: t.N, Value: at.Value, N: at.N}
			if t.Noise.Source == "openings" {
				place.Low, place.High = at.RankLow, at.RankHigh
			}
			out = append(out, place)
		}
	}
	return out
}

// known reports whether a value is finite.
func known(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
