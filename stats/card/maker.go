package card

import (
	"cmp"
	"math"
	"slices"

	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/roundup"
)

// Maker is everything a log shows of one maker.
type Maker struct {
	Maker    string        `json:"maker"`
	Openings int           `json:"openings"`
	Years    []Year        `json:"years"` // in which its parts were opened
	Undated  int           `json:"undated"`
	Parts    []MakersPart  `json:"parts"`  // dearest for their contents first
	Levels   []Level       `json:"levels"` // compared with the other makers
	Changes  []drift.Entry `json:"changes"`
	Judged   int           `json:"changes_judged"` // number of measures with enough data for a verdict on change
}

// Year counts the openings of one year.
type Year struct {
	Year     int `json:"year"`
	Openings int `json:"openings"`
}

// MakersPart is one part of a maker.
type MakersPart struct {
	Part     string        `json:"part"`
	Openings int           `json:"openings"`
	Last     string        `json:"last_opened"` // ISO 8601; "" without a date
	Verdict  price.Verdict `json:"verdict"`
}

// Level is how a maker's parts compare with what their size, or their contents,
// predict over all makers. Missing numbers are NaN.
type Level struct {
	Table    string  `json:"table"` // price-for-contents, can-gauge, pleats, media-area
	Measure  string  `json:"measure"`
	Against  string  `json:"against"` // column of the predictor; "" = contents
	Relative bool    `json:"relative"`
	Parts    int     `json:"parts"`
	Own      float64 `json:"own"`   // mean deviation of its parts from the line
	Level    float64 `json:"level"` // Own shrunk towards the mean of all makers
	Low      float64 `json:"low"`   // 95 % interval of Level
	High     float64 `json:"high"`
	Side     int     `json:"side"`   // 1 = significantly above the line, -1 = below, 0 = neither
	Needed   string  `json:"needed"` // what is missing for an estimate; "" = nothing
}

// OfMaker makes the card of a maker named as in the log. Errors:
// *price.UnknownError.
func (b *Basis) OfMaker(maker string) (*Maker, error) {
	m := &Maker{Maker: maker}
	years := map[int]int{}
	last := map[string]string{}
	openings := map[string]int{}
	for row := range b.Log.Rows() {
		p := ProductOf(b.Log, row)
		if p.Maker != maker {
			continue
		}
		m.Openings++
		openings[p.Part]++
		when, _, ok := b.Log.Opened(row)
		if !ok {
			m.Undated++
			continue
		}
		years[when.Year()]++
		last[p.Part] = max(last[p.Part], b.Log.OpenedText(row))
	}
	if m.Openings == 0 {
		_, err := price.Resolve(b.Log, maker)
		if err == nil {
			err = &price.UnknownError{Name: maker}
		}
		return nil, err
	}
	for y, n := range years {
		m.Years = append(m.Years, Year{y, n})
	}
	slices.SortFunc(m.Years, func(a, b Year) int { return cmp.Compare(a.Year, b.Year) })
	for _, v := range b.Model.Verdicts() {
		if v.Maker == maker {
			m.Parts = append(m.Parts, MakersPart{v.Part, openings[v.Part], last[v.Part], v})
		}
	}
	m.Levels = b.levels(maker)
	for _, e := range b.Drift {
		if e.Maker != maker || e.Part != "" {
			continue
		}
		if e.Verdict != drift.TooFew {
			m.Judged++
		}
		if e.Moved() {
			m.Changes = append(m.Changes, e)
		}
	}
	return m, nil
}

// levels returns the maker's rows of the tables of makers.
func (b *Basis) levels(maker string) []Level {
	b.guard.Lock()
	if b.makers == nil {
		b.makers = b.today.Makers(b.judged)
	}
	b.guard.Unlock()
	var out []Level
	none := math.NaN()
	for _, t := range b.makers {
		at := slices.IndexFunc(t.Rows, func(r roundup.MakerRow) bool { return r.Maker == maker })
		l := Level{Table: t.ID, Measure: t.Measure, Against: t.Against, Relative: t.Relative,
			Own: none, Level: none, Low: none, High: none, Needed: t.Needed}
		if at >= 0 && !t.TooFew {
			r := t.Rows[at]
			l.Parts, l.Own, l.Level, l.Low, l.High, l.Side = r.Products, r.Own, r.Pooled, r.Low, r.High, r.Side
		} else if l.Needed == "" {
			l.Needed = "a part of this maker with both measures"
		}
		out = append(out, l)
	}
	return out
}
