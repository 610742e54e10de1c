package sim

import (
	"encoding/json"
	"io"
	"math/rand/v2"
)

// Size and seed of the demo log, that of the harbour workshop.
const (
	DemoRows  = 260
	DemoParts = 60
	DemoSeed  = 25
)

// WorkshopOptions are the options of Workshop.
type WorkshopOptions struct {
	Rows, Parts int // both 0 = as in the demo log; there must be a row for every part
	Seed        uint64
	MainColumns bool // only the columns that most logs have
	Clean       bool // plant nothing: no odd price, no drift, no entry error
}

// Truth is what was planted in a log written by Workshop.
type Truth struct {
	Note   string       `json:"note"`
	Rows   int          `json:"rows"`
	Makers int          `json:"makers"`
	Parts  int          `json:"parts"`
	Prices []OddPrice   `json:"prices"`
	Drift  []TrueDrift  `json:"drift"`
	Rise   float64      `json:"price_rise_per_year"` // of log price, every maker
	Errors []EntryError `json:"slips"`
}

// OddPrice is a part whose price differs from that of its contents.
type OddPrice struct {
	Kind   string  `json:"kind"` // overpriced or bargain
	Maker  string  `json:"maker"`
	Part   string  `json:"part"`
	Factor float64 `json:"factor"` // price as a multiple of that of its contents
}

// TrueDrift is a change of all parts of a maker.
type TrueDrift struct {
	Maker   string  `json:"maker"`
	Measure string  `json:"measure"`
	From    float64 `json:"from"`               // decimal year
	PerYear float64 `json:"per_year,omitempty"` // base units
	Step    float64 `json:"step,omitempty"`
}

// Workshop writes the log of a workshop as CSV and returns what was planted in
// it. With DemoRows and DemoParts it is the harbour workshop's, otherwise one
// with numbered makers.
func Workshop(dst io.Writer, o WorkshopOptions) (*Truth, error) {
	if o.Rows == 0 && o.Parts == 0 {
		o.Rows, o.Parts = DemoRows, DemoParts
	}
	r := rand.New(rand.NewPCG(o.Seed, 0x686172626f7572))
	w := demoWorkshop(r)
	if o.Rows != DemoRows || o.Parts != DemoParts {
		// The random numbers of the harbour's products were drawn first on purpose:
		// without them the bytes of these logs would change.
		w = numberedWorkshop(r, o.Parts)
	}
	if o.Clean {
		w.plantNothing()
	}
	w.schedule(r, o.Rows)
	w.later = laterColumns()
	errors, err := w.write(r, dst, o)
	if err != nil {
		return nil, err
	}
	return w.truth(errors), nil
}

func (w *workshop) truth(errors []EntryError) *Truth {
	t := &Truth{
		Note: "Invented data: what the generator planted in the log beside this file.",
		Rows: len(w.openings), Makers: len(w.makers), Parts: len(w.products), Rise: Rise, Errors: errors,
	}
	for _, p := range w.products {
		kind := "overpriced"
		if p.priceFactor < 1 {
			kind = "bargain"
		}
		if p.priceFactor != 1 {
			t.Prices = append(t.Prices, OddPrice{Kind: kind, Maker: w.makers[p.maker].name, Part: p.part, Factor: p.priceFactor})
		}
	}
	for _, k := range w.makers {
		if k.thinning > 0 {
			t.Drift = append(t.Drift, TrueDrift{Maker: k.name, Measure: "can_gauge", From: k.thinFrom, PerYear: -k.thinning})
		}
		if k.pleatsLost > 0 {
			t.Drift = append(t.Drift, TrueDrift{Maker: k.name, Measure: "pleats", From: k.pleatsLostAt, Step: -float64(k.pleatsLost)})
		}
	}
	return t
}

// JSON returns the truth as written to the file beside a log.
func (t *Truth) JSON() ([]byte, error) {
	text, err := json.MarshalIndent(t, "", "  ")
	return append(text, '\n'), err
}
