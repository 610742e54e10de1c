package roundup

import (
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/drift"
)

// maxDeviation is how many standard deviations an earlier opening may lie from the mean
// of the later ones and still be averaged with them. A tighter limit drops the
// earlier openings of just those parts whose opening this year happens to lie far
// off: at 2, whole tables were right in 0.83 to 0.91 of cases, at 3.5 in 0.94 to
// 0.97 (calibrate places, 360 openings). Drift detects smaller changes.
const maxDeviation = 3.5

// setValue sets a product's value in the year, on the scale of the comparison, and
// the openings it is averaged from: those of the year and, latest first, of the
// years before for as long as nothing changed. A change is one of the measure
// reported by drift for the maker or the part, or two successive openings that
// differ from the later ones by more than openings of one product usually do. A
// single one is more likely a slip, and left out. Prices are converted to the
// money of the year by their common rise.
func (b *bench) setValue(place *Place, p product, t Table, values []float64) {
	now := b.lookedAt(p, values)
	before := func(o opening) bool { return b.today != nil && !now(o) || b.today == nil && b.earlier(o) }
	if t.Noise.Source != "openings" {
		m := b.meanOf(values, p.openings, now)
		place.Value, place.N = m.value, m.n
		return
	}
	if slices.Contains(catalogue.Inputs(t.Measure), "price") {
		values = b.inMoneyOfYear(values, t.Noise.rise)
	}
	measure := t.Measure
	if t.ID == MassForSize {
		measure = "total_mass"
	}
	year := float64(b.year) // the date of a measure that is still changing
	since := min(year, drift.Since(b.changes, dataset.Label{Maker: p.maker, Part: p.part}, measure, year))
	var from []int // openings to average, latest first
	for _, i := range slices.Backward(p.openings) {
		if o := b.rows[i]; !math.IsNaN(values[i]) && (now(o) || before(o) && o.when >= since) {
			from = append(from, i)
		}
	}
	differ := func(i int, mean float64, n int) bool {
		return math.Abs(values[i]-mean) > maxDeviation*t.Noise.SD*differenceSD(1, n)
	}
	leaveOut := func(i int) {
		if o := b.rows[i]; now(o) {
			place.Off = append(place.Off, o.line)
		}
	}
	if len(from) > 2 && differ(from[0], values[from[1]], 1) && !differ(from[2], values[from[1]], 1) {
		leaveOut(from[0]) // the next two agree with each other
		from = from[1:]
	}
	for k, i := range from {
		switch {
		case place.N == 0 || !differ(i, place.Value, place.N):
			place.N++
			place.Value += (values[i] - place.Value) / float64(place.N)
			if before(b.rows[i]) {
				place.Earlier++
			}
		case k+1 < len(from) && differ(from[k+1], place.Value, place.N):
			return
		default:
			leaveOut(i)
		}
	}
}
