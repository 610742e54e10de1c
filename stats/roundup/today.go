package roundup

import (
	"math"
	"slices"
	"sync"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
)

// Today is a log as of its last openings instead of one year: every product is
// ranked by its latest openings, and any openings can be compared with those
// before them, by the rules of a year's roundup. It is not safe for concurrent
// use.
type Today struct {
	bench *bench
	o     Options
}

// today is what a bench uses in place of a year.
type today struct {
	looked map[int]bool // rows of the log compared with those before them
	of     []product    // their products
	at     map[int]int  // index into bench.rows, by row of the log
	upTo   float64      // decimal year of the last of them
	only   func(maker, part string) bool

	// Results that do not depend on the openings compared, computed once.
	compared map[string]comparing
	tail     sync.Once
	tailDF   float64
	mass     sync.Once
	massLine fitted
	massErr  error
}

func (t *today) before(o opening) bool { return !t.looked[o.row] && o.when <= t.upTo }

// NewToday prepares a log without its impossible readings
// (check.Result.SetAside); problems are those of check, and changes those of
// drift, over the same log. Undated openings are placed in the middle of the
// log's years; where no opening is dated, rows are in order of time.
func NewToday(log *dataset.Log, problems []dataset.Problem, changes []drift.Entry, o Options) *Today {
	if o.Resamples == 0 {
		o.Resamples = defaultResamples
	}
	first, latest := math.Inf(1), math.Inf(-1)
	for _, at := range log.Floats("opened") {
		if !math.IsNaN(at) {
			first, latest = math.Min(first, at), math.Max(latest, at)
		}
	}
	if math.IsInf(latest, -1) {
		first, latest = 1, 1 // any year
	}
	b := gather(log, problems, (first+latest)/2)
	b.changes, b.year = changes, int(latest)
	b.today = &today{compared: map[string]comparing{}, at: make(map[int]int, len(b.rows))}
	for i, o := range b.rows {
		b.today.at[o.row] = i
	}
	return &Today{bench: b, o: o}
}

// Tables ranks all products, or a selection, as they are made today, in the
// tables of a roundup except that of prices for contents. Prices are in the money
// of the log's last opening.
func (t *Today) Tables(only func(maker, part string) bool) []Table {
	t.bench.today.only = only
	return t.bench.tables(nil, t.o)
}

// Against compares some openings (rows of the log) with the earlier ones of the
// same parts. It returns every comparison, whatever its outcome, and the
// categories that differ.
func (t *Today) Against(rows []int) ([]Change, []WordChange, error) {
	b := t.bench
	b.today.looked, b.today.upTo, b.today.of = map[int]bool{}, math.Inf(-1), nil
	seen := map[int]bool{}
	for _, row := range rows {
		at, there := b.today.at[row]
		if !there {
			continue
		}
		o := b.rows[at]
		b.today.looked[row], b.today.upTo = true, math.Max(b.today.upTo, o.when)
		if !seen[o.product] {
			seen[o.product] = true
			b.today.of = append(b.today.of, b.products[o.product])
		}
	}
	all, err := b.comparisons()
	if err != nil {
		return nil, nil, err
	}
	return all, b.wordChanges(), nil
}

// IDs of the tables of Makers.
const (
	MakersByContents = "price-for-contents"
	MakersCanGauge   = "can-gauge"
	MakersPleats     = "pleats"
	MakersMedia      = "media-area"
)

// Makers compares the makers over all their parts, with partial pooling: prices
// relative to what the contents usually cost, from the verdicts; can gauge and
// media area for the surface of the can; pleats for the width of the element.
func (t *Today) Makers(judged []price.Judgement) []MakerTable {
	b := t.bench
	b.today.looked = nil
	ratios := map[price.Product]float64{}
	for _, j := range judged {
		ratios[price.Product{Maker: j.Maker, Part: j.Part}] = math.Log(j.Ratio)
	}
	contents := make([]float64, len(b.rows))
	for i, o := range b.rows {
		contents[i] = math.NaN()
		if v, ok := ratios[price.Product{Maker: b.products[o.product].maker, Part: b.products[o.product].part}]; ok {
			contents[i] = v
		}
	}
	nan := math.NaN()
	tables := []MakerTable{
		b.compareMakers(MakerTable{ID: MakersByContents, Measure: "price", Relative: true, Fitted: len(judged),
			Mean: nan, Between: nan, Within: nan, Q: nan, P: nan}, contents),
		b.makerTable(MakerTable{ID: MakersCanGauge, Measure: "can_gauge", Against: "can_surface"}, b.values("can_gauge"), false),
		b.makerTable(MakerTable{ID: MakersPleats, Measure: "pleats", Against: "element_width"}, b.values("pleats"), false),
		b.makerTable(MakerTable{ID: MakersMedia, Measure: "media_area", Relative: true, Against: "can_surface"}, logs(b.values("media_area")), false),
	}
	namedMakers(tables)
	return tables
}

// compared returns the products whose openings are compared with earlier ones.
func (b *bench) compared() []product {
	if b.today != nil {
		return b.today.of
	}
	return b.products
}

// ranked reports whether a product takes part in the tables.
func (b *bench) ranked(p product) bool {
	return b.today == nil || b.today.only == nil || b.today.only(p.maker, p.part)
}

// lookedAt selects the openings of a product that a table is about: those of the
// year or, today, the last one with a value.
func (b *bench) lookedAt(p product, values []float64) func(opening) bool {
	if b.today == nil {
		return b.thisYear
	}
	for _, i := range slices.Backward(p.openings) {
		if !math.IsNaN(values[i]) {
			row := b.rows[i].row
			return func(o opening) bool { return o.row == row }
		}
	}
	return func(opening) bool { return false }
}
