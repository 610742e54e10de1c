package roundup

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sync"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
	"pleatstat/stats/price"
	"pleatstat/stats/standings"
	"pleatstat/stats/trend"
)

// IDs of the tables.
const (
	BestValue        = "best-value"
	PriceForContents = "price-for-contents"
	CanGauge         = "can-gauge"
	MediaArea        = "media-area"
	PleatDepth       = "pleat-depth"
	MassForSize      = "mass-for-size"
)

// fewestRanked is the least number of products for a ranking.
const fewestRanked = 3

// tables ranks the year's products, in order of presentation.
func (b *bench) tables(judged []price.Judgement, o Options) []Table {
	makers := []func(rng *rand.Rand) Table{
		func(rng *rand.Rand) Table {
			return b.ranking(Table{ID: BestValue, Measure: "price_per_area", LowFirst: true, Log: true}, o, rng)
		},
		func(rng *rand.Rand) Table { return b.priceTable(judged, o, rng) },
		func(rng *rand.Rand) Table { return b.ranking(Table{ID: CanGauge, Measure: "can_gauge"}, o, rng) },
		func(rng *rand.Rand) Table {
			return b.ranking(Table{ID: MediaArea, Measure: "media_area", Log: true}, o, rng)
		},
		func(rng *rand.Rand) Table { return b.ranking(Table{ID: PleatDepth, Measure: "pleat_depth"}, o, rng) },
		func(rng *rand.Rand) Table { return b.massTable(o, rng) },
	}
	if b.today != nil { // the verdicts say more about prices than their ranks
		makers = slices.Delete(makers, 1, 2)
	}
	out := make([]Table, len(makers))
	var group sync.WaitGroup
	for i, make := range makers {
		group.Go(func() {
			out[i] = make(rand.New(rand.NewPCG(o.Seed, uint64(i))))
		})
	}
	group.Wait()
	return out
}

// ranking ranks the year's products by a measure of the log.
func (b *bench) ranking(t Table, o Options, rng *rand.Rand) Table {
	values := b.values(t.Measure)
	if t.Log {
		values = logs(values)
	}
	t.Noise = b.noiseOf(values, b.benchFloor(t.Measure, t.Log))
	return b.rank(t, values, o, rng)
}

// massTable ranks the year's products by total mass relative to what a filter
// with such a can usually weighs: the residual from the line of log mass on log
// surface of the can, over every opening up to the year.
func (b *bench) massTable(o Options, rng *rand.Rand) Table {
	t := Table{ID: MassForSize, Ratio: true, Log: true, Noise: Noise{SD: math.NaN()}, Slope: math.NaN()}
	line, err := b.massLine()
	if err != nil {
		t.TooFew, t.Needed = true, fewestForLine
		t.Warnings = append(t.Warnings, fmt.Sprintf("no line of total mass on the surface of the can: %v", err))
		return t
	}
	t.Slope, t.Fitted = line.slope, line.n
	t.Noise = b.noiseOf(line.residual, Noise{SD: math.NaN()})
	return b.rank(t, line.residual, o, rng)
}

// massLine fits the line of log total mass on log surface of the can.
func (b *bench) massLine() (fitted, error) {
	fit := func() (fitted, error) {
		return b.lineOn(logs(b.values("total_mass")), false, logs(b.values("can_surface")))
	}
	if b.today != nil { // shared by all selections of products
		b.today.mass.Do(func() { b.today.massLine, b.today.massErr = fit() })
		return b.today.massLine, b.today.massErr
	}
	return fit()
}

// rank gives the year's products their places; values are on the scale of the
// comparison.
func (b *bench) rank(t Table, values []float64, o Options, rng *rand.Rand) Table {
	var places []Place
	for _, p := range b.products {
		m := b.meanOf(values, p.openings, b.lookedAt(p, values))
		if m.n == 0 || !b.ranked(p) {
			continue
		}
		place := Place{Maker: p.maker, Part: p.part, Lines: m.lines}
		b.setValue(&place, p, t, values)
		places = append(places, place)
	}
	return t.place(places, o, rng)
}

// priceTable ranks the year's products by price relative to what their contents
// predict, from the price verdicts. The uncertainty of a place comes from the
// noise of price per area between openings of one product, over all openings of
// the verdict, and from that of the fair price. The variance of the latter is
// that of the verdict's own 95 % range beyond the best known product's, plus that
// of two coefficients of a line over all products; the correlation of the
// verdicts through their common regression is neglected.
func (b *bench) priceTable(judged []price.Judgement, o Options, rng *rand.Rand) Table {
	t := Table{ID: PriceForContents, Ratio: true, Log: true}
	t.Noise = b.noiseOf(logs(b.values("price_per_area")), Noise{SD: math.NaN()})
	this := map[[2]string][]int{}
	for _, p := range b.products {
		for _, i := range p.openings {
			if b.ranked(p) && (b.today != nil || b.thisYear(b.rows[i])) {
				key := [2]string{p.maker, p.part}
				this[key] = append(this[key], b.rows[i].line)
			}
		}
	}
	best, spreads := math.Inf(1), map[[2]string]float64{}
	for _, j := range judged {
		if v := verdictVariance(j); v > 0 {
			spreads[[2]string{j.Maker, j.Part}] = v
			best = math.Min(best, v)
		}
	}
	const coefficients = 2
	var places []Place
	for _, j := range judged {
		key := [2]string{j.Maker, j.Part}
		lines, spread := this[key], spreads[key]
		if len(lines) == 0 {
			continue
		}
		if spread == 0 || j.N < 1 {
			t.Needed = max(t.Needed, j.Needed)
			continue
		}
		slices.Sort(lines)
		places = append(places, Place{Maker: j.Maker, Part: j.Part, N: j.N, Lines: lines,
			Value: math.Log(j.Ratio), Verdict: j.Verdict,
			extra: (spread - best + best*coefficients/float64(len(spreads))) / (t.Noise.SD * t.Noise.SD)})
	}
	slices.SortFunc(places, func(a, b Place) int { return cmp.Or(cmp.Compare(a.Maker, b.Maker), cmp.Compare(a.Part, b.Part)) })
	return t.place(places, o, rng)
}

// verdictVariance returns the variance of the log price about the fair one, from
// its 95 % range; 0 where there is no verdict.
func verdictVariance(j price.Judgement) float64 {
	if j.Grade == trend.CannotSay || !(j.Ratio > 0) || !(j.Low > 0) || !(j.High > j.Low) {
		return 0
	}
	sd := math.Log(j.High/j.Low) / (2 * distuv.UnitNormal.Quantile((1+confidence)/2))
	return sd * sd
}

// place ranks places whose Value is on the scale of the comparison, and
// transforms the values back.
func (t Table) place(places []Place, o Options, rng *rand.Rand) Table {
	t.N = len(places)
	for _, p := range places {
		t.Openings += p.N
	}
	if t.N < fewestRanked {
		t.TooFew, t.Needed = true, max(t.Needed, fewestRanked)
		return t
	}
	t.Needed = 0
	s := make([]standings.Estimate, len(places))
	for i, p := range places {
		s[i] = standings.Estimate{Value: p.Value, N: p.N, Extra: p.extra}
		if t.LowFirst {
			s[i].Value = -p.Value
		}
	}
	low, high := standings.Ranges(s, t.Noise.SD, t.Noise.DF, o.Resamples, rng)
	half := math.NaN()
	if t.Noise.SD > 0 && t.Noise.DF > 0 {
		half = t.Noise.SD * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: t.Noise.DF}.Quantile((1+confidence)/2)
	}
	for i := range places {
		p := &places[i]
		p.RankLow, p.RankHigh = low[i], high[i]
		off := half * math.Sqrt(s[i].Variance())
		p.Low, p.High = p.Value-off, p.Value+off
		if t.Log {
			p.Value, p.Low, p.High = math.Exp(p.Value), math.Exp(p.Low), math.Exp(p.High)
		}
	}
	order := num.AllRows(len(s))
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(s[j].Value, s[i].Value) })
	t.Places = make([]Place, len(places))
	for at, i := range order {
		t.Places[at] = places[i]
		t.Places[at].Rank = at + 1
		if at > 0 && s[i].Value == s[order[at-1]].Value {
			t.Places[at].Rank = t.Places[at-1].Rank
		}
		if p := &t.Places[at]; p.RankLow > 0 { // the range of an uncertain value may miss its own rank, as such values are shrunk more
			p.RankLow, p.RankHigh = min(p.RankLow, p.Rank), max(p.RankHigh, p.Rank)
			p.Shared = p.RankLow != p.RankHigh
		}
	}
	t.warn()
	return t
}

func (t *Table) warn() {
	switch {
	case t.Noise.Source == "readings":
		t.Warnings = append(t.Warnings, fmt.Sprintf("only %d pairs of openings of one part: the ranges hold what the bench repeats, not how much the parts themselves differ; %d pairs would do", t.Noise.Pairs, FewestPairs))
	case !(t.Noise.SD > 0) && t.Noise.Pairs >= FewestPairs:
		t.Warnings = append(t.Warnings, fmt.Sprintf("how sure the places are cannot be said: no two openings of one part differ, in %d pairs", t.Noise.Pairs))
	case !(t.Noise.SD > 0):
		t.Warnings = append(t.Warnings, fmt.Sprintf("how sure the places are cannot be said: %d pairs of openings of one part; %d would do", t.Noise.Pairs, FewestPairs))
	}
	for _, p := range t.Places {
		for _, line := range p.Off {
			t.Warnings = append(t.Warnings, fmt.Sprintf("an opening of %s %s lies far off its others and does not count (line %d): measure it again", p.Maker, p.Part, line))
		}
	}
	if t.N > standings.All {
		t.Warnings = append(t.Warnings, fmt.Sprintf("ranges of places are given for the first and last %d of %d", standings.Ends, t.N))
	}
}

// Leaders lists the products that may hold place 1: with 95 % confidence the true
// first is among them.
func (t Table) Leaders() []Place { return t.reaching(1) }

// Trailers lists the products that may hold the last place, last first.
func (t Table) Trailers() []Place {
	out := t.reaching(t.N)
	slices.Reverse(out)
	return out
}

func (t Table) reaching(rank int) []Place {
	var out []Place
	for _, p := range t.Places {
		if p.RankLow > 0 && p.RankLow <= rank && rank <= p.RankHigh {
			out = append(out, p)
		}
	}
	return out
}
