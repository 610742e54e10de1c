package roundup

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/dataset/catalogue"
)

// fewestEarlier is the least number of earlier openings for an extreme to be a
// record.
const fewestEarlier = 10

// recorded lists the measures of which records are reported, and at which ends.
var recorded = []struct {
	measure       string
	log           bool
	highest, both bool
}{
	{"price", true, true, true},
	{"price_per_area", true, true, true},
	{"can_gauge", false, true, true},
	{"media_area", true, true, true},
	{"pleats", false, true, true},
	{"pleat_depth", false, true, false},
	{"total_mass", true, true, true},
}

// records finds extremes of the year that exceed every earlier one by more than
// specimens of one part differ, with prices in the money of the year. The level
// is divided among all ends compared (Bonferroni), so that in a year without a
// new extreme a record is reported in at most one log of twenty.
func (b *bench) records() (found []Record, none string) {
	if b.before == 0 {
		return nil, "it is the log's first year"
	}
	looked := 0
	tail := b.tailDF()
	ends := 0.0
	for _, m := range recorded {
		if ends++; m.both {
			ends++
		}
	}
	for _, m := range recorded {
		values := b.values(m.measure)
		scaled := values
		if m.log {
			scaled = logs(values)
		}
		noise := b.noiseOf(scaled, b.benchFloor(m.measure, m.log))
		if m.log && slices.Contains(catalogue.Inputs(m.measure), "price") {
			scaled = b.inMoneyOfYear(scaled, noise.rise)
		}
		noise.DF = math.Min(noise.DF, tail)
		for _, highest := range []bool{true, false} {
			if highest != m.highest && !m.both {
				continue
			}
			r, enough, ok := b.record(Record{Measure: m.measure, Highest: highest, Relative: m.log}, values, scaled, noise, 1-(1-confidence)/ends)
			if enough {
				looked++
			}
			if ok {
				found = append(found, r)
			}
		}
	}
	if looked == 0 {
		return nil, fmt.Sprintf("no measure has %d readings of earlier years", fewestEarlier)
	}
	return found, ""
}

// record compares the extreme of the year with that of all earlier years.
func (b *bench) record(r Record, values, scaled []float64, noise Noise, sure float64) (out Record, enough, ok bool) {
	old, now := -1, -1
	beats := func(i, best int) bool {
		switch {
		case best < 0:
			return true
		case scaled[i] == scaled[best]: // the first to reach it holds the record
			return b.rows[i].when < b.rows[best].when
		case r.Highest:
			return scaled[i] > scaled[best]
		}
		return scaled[i] < scaled[best]
	}
	for _, p := range b.products {
		for _, i := range p.openings {
			switch o := b.rows[i]; {
			case math.IsNaN(scaled[i]):
			case b.thisYear(o) && beats(i, now):
				now = i
			case b.earlier(o):
				r.Earlier++
				if beats(i, old) {
					old = i
				}
			}
		}
	}
	if r.Earlier < fewestEarlier {
		return r, false, false
	}
	if now < 0 || scaled[now] == scaled[old] || !beats(now, old) {
		return r, true, false
	}
	at, was := b.rows[now], b.rows[old]
	r.Maker, r.Part, r.Line, r.Value = b.products[at.product].maker, b.products[at.product].part, at.line, values[now]
	r.OldMaker, r.OldPart, r.OldLine = b.products[was.product].maker, b.products[was.product].part, was.line
	r.OldYear, r.OldValue = was.year, values[old]
	if !(noise.SD > 0) || noise.DF <= 0 {
		return r, true, false // the scatter between specimens is not known
	}
	d := scaled[now] - scaled[old]
	student := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: noise.DF}
	sd := noise.SD * math.Sqrt2
	r.Needs = student.Quantile((1+sure)/2) * sd
	if step := b.log.Resolution(r.Measure) * (1 + 1e-9); !r.Relative && step > r.Needs {
		r.Needs = step // one step of the scale is not a record
	}
	if math.Abs(d) <= r.Needs {
		return r, true, false
	}
	half := student.Quantile((1+confidence)/2) * sd
	r.Beyond, r.Margin, r.MarginLow, r.Up = true, d, d-half, d+half
	if r.Relative {
		r.Margin, r.MarginLow, r.Up = math.Expm1(r.Margin), math.Expm1(r.MarginLow), math.Expm1(r.Up)
		r.Needs = math.Expm1(r.Needs)
	}
	return r, true, true
}

// inMoneyOfYear converts log prices to the middle of the year by a yearly rise;
// at most to the log's last opening.
func (b *bench) inMoneyOfYear(values []float64, rise float64) []float64 {
	latest := 0.0
	for _, o := range b.rows {
		latest = math.Max(latest, o.when)
	}
	at := math.Min(latest, float64(b.year)+0.5)
	out := slices.Clone(values)
	for i, o := range b.rows {
		out[i] += rise * (at - o.when)
	}
	return out
}
