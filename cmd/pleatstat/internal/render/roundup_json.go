package render

import (
	"io"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats/roundup"
	"pleatstat/stats/trend"
)

// RoundupJSON writes a roundup under the schema pleatstat/roundup/1: numbers
// in base units and the log's currency, missing ones null.
func RoundupJSON(w io.Writer, log *dataset.Log, r *roundup.Roundup) error {
	out := roundupJSON{
		Schema: "pleatstat/roundup/1", Log: readLogOf(log), File: r.File, Year: r.Year, ComparedWith: countOrNull(r.Before, r.Before != 0), Years: list(r.Years),
		Units: r.Units.System(), Currency: orNull(r.Units.Currency()),
		Opened: openedJSON{r.Opened.Openings, r.Opened.Products, r.Opened.Makers, r.Opened.NewProducts, r.Opened.Again, r.Opened.Total,
			num(r.Opened.Spent), r.Opened.Priced, r.Opened.OpeningsBefore, num(r.Opened.SpentBefore), r.Opened.PricedBefore, r.Opened.Undated},
		Changed: driftOf(r.Changed), Tables: make([]rankingJSON, 0), Shifts: make([]shiftJSON, 0), Makers: make([]makersJSON, 0), Records: make([]recordJSON, 0),
		NoRecords: orNull(r.NoRecord), Gaps: make([]gapJSON, 0), Next: make([]nextJSON, 0), Doubtful: list(r.Doubtful), Warnings: list(slices.Concat(r.Notices, r.Warnings)),
		Reopened: reopenedJSON{r.Reopened.Products, r.Reopened.Comparisons, num(r.Reopened.Chance), make([]changeJSON, 0), make([]recordedJSON, 0)},
	}
	for _, t := range r.Tables {
		out.Tables = append(out.Tables, rankingOf(t))
	}
	for _, s := range r.Shifts {
		out.Shifts = append(out.Shifts, shiftJSON{s.Measure, s.Group, s.Relative, s.PerYear, s.Before, s.Now, countOrNull(s.Products, s.Products > 0),
			num(s.Shift), num(s.Low), num(s.High), num(s.MedianBefore), num(s.MedianNow), s.Clear, s.TooFew, countOrNull(s.Needed, s.TooFew),
			orNull(s.SizeMeasure), num(s.SizeFrom), num(s.SizeTo), orNull(s.Follows)})
	}
	for _, c := range r.Reopened.Changes {
		out.Reopened.Changes = append(out.Reopened.Changes, changeJSON{c.Maker, c.Part, c.Measure, c.Relative, c.Since, num(c.Before), num(c.Now),
			c.NBefore, c.N, num(c.Difference), num(c.Low), num(c.High), num(c.P), num(c.Q), strengthOf(c), list(c.Lines), missingUnless(c.AboveMarket, c.MarketFactor)})
	}
	for _, c := range r.Reopened.Words {
		out.Reopened.Recorded = append(out.Reopened.Recorded, recordedJSON{c.Maker, c.Part, c.Measure, c.Since, c.Before, c.Now, list(c.Lines)})
	}
	for _, m := range r.Makers {
		out.Makers = append(out.Makers, pooledJSON(m))
	}
	for _, x := range r.Records {
		out.Records = append(out.Records, recordJSON{x.Measure, x.Highest, x.Maker, x.Part, x.Line, num(x.Value), x.OldMaker, x.OldPart, x.OldYear,
			x.OldLine, num(x.OldValue), x.Earlier, x.Beyond, x.Relative, num(x.Margin), num(x.MarginLow), num(x.Up)})
	}
	for _, g := range r.Gaps {
		out.Gaps = append(out.Gaps, gapJSON(g))
	}
	for _, c := range r.Next {
		out.Next = append(out.Next, nextJSON{c.Maker, c.Part, c.Opened, c.Last, num(c.Gain), num(c.PriceGain), num(c.DriftGain), num(c.MakerGain)})
	}
	return writeJSON(w, out)
}

func strengthOf(c roundup.Change) string {
	if c.Clear {
		return string(trend.Clear)
	}
	return string(trend.Hint)
}

func rankingOf(t roundup.Table) rankingJSON {
	out := rankingJSON{t.ID, orNull(t.Measure), t.Ratio, t.LowFirst, t.N, t.Openings, t.TooFew, countOrNull(t.Needed, t.TooFew),
		missingUnless(t.Noise.DF > 0, t.Noise.SD), t.Noise.Pairs, orNull(t.Noise.Source), t.Log, make([]placeJSON, 0), list(t.Warnings)}
	for _, p := range t.Places {
		out.Places = append(out.Places, placeJSON{p.Maker, p.Part, list(p.Lines), p.N, num(p.Value), num(p.Low), num(p.High), p.Rank,
			countOrNull(p.RankLow, p.RankLow > 0), countOrNull(p.RankHigh, p.RankHigh > 0), p.Shared, nil})
		if p.Verdict.Grade != "" {
			v := verdictOf(p.Verdict)
			out.Places[len(out.Places)-1].Verdict = &v
		}
	}
	return out
}

func pooledJSON(m roundup.MakerTable) makersJSON {
	out := makersJSON{m.ID, m.Measure, m.Against, m.Relative, m.Products, m.Fitted, m.TooFew, orNull(m.Needed), num(m.Mean), num(m.Between),
		num(m.Within), num(m.Q), num(m.P), make([]makerJSON, 0)}
	for _, r := range m.Rows {
		out.Makers = append(out.Makers, makerJSON{r.Maker, r.Products, r.Openings, r.ThisYear, num(r.Own), num(r.Pooled), num(r.Low), num(r.High), num(r.Weight)})
	}
	return out
}

type roundupJSON struct {
	Schema       string            `json:"schema"`
	Log          readLogJSON       `json:"log"`
	File         string            `json:"file"`
	Year         int               `json:"year"`
	ComparedWith *int              `json:"compared_with"`
	Years        []int             `json:"years"`
	Units        string            `json:"units"`
	Currency     *string           `json:"currency"`
	Opened       openedJSON        `json:"opened"`
	Changed      []driftJSON       `json:"maker_changes"`
	Tables       []rankingJSON     `json:"tables"`
	Shifts       []shiftJSON       `json:"shifts"`
	Reopened     reopenedJSON      `json:"reopened"`
	Makers       []makersJSON      `json:"makers"`
	Records      []recordJSON      `json:"records"`
	NoRecords    *string           `json:"no_records"`
	Gaps         []gapJSON         `json:"not_measured_enough"`
	Next         []nextJSON        `json:"open_next"`
	Doubtful     []dataset.Problem `json:"doubtful"`
	Warnings     []string          `json:"warnings"`
}

type openedJSON struct {
	Openings       int `json:"openings"`
	Products       int `json:"products"`
	Makers         int `json:"makers"`
	NewProducts    int `json:"new_products"`
	Again          int `json:"opened_before"`
	Total          int `json:"openings_so_far"`
	Spent          num `json:"spent"`
	Priced         int `json:"priced"`
	OpeningsBefore int `json:"openings_before"`
	SpentBefore    num `json:"spent_before"`
	PricedBefore   int `json:"priced_before"`
	Undated        int `json:"undated"`
}

type rankingJSON struct {
	ID       string      `json:"id"`
	Measure  *string     `json:"measure"`
	Ratio    bool        `json:"ratio"`
	LowFirst bool        `json:"low_first"`
	N        int         `json:"n"`
	Openings int         `json:"openings"`
	TooFew   bool        `json:"too_few"`
	Needed   *int        `json:"needed"`
	NoiseSD  num         `json:"noise_sd"`
	Pairs    int         `json:"noise_pairs"`
	Source   *string     `json:"noise_from"`
	Log      bool        `json:"log_scale"`
	Places   []placeJSON `json:"places"`
	Warnings []string    `json:"warnings"`
}

type placeJSON struct {
	Maker    string       `json:"maker"`
	Part     string       `json:"part"`
	Lines    []int        `json:"lines"`
	N        int          `json:"n"`
	Value    num          `json:"value"`
	Low      num          `json:"low"`
	High     num          `json:"high"`
	Rank     int          `json:"rank"`
	RankLow  *int         `json:"rank_low"`
	RankHigh *int         `json:"rank_high"`
	Shared   bool         `json:"shared"`
	Verdict  *verdictJSON `json:"verdict"`
}

type shiftJSON struct {
	Measure      string  `json:"measure"`
	Group        string  `json:"group"`
	Relative     bool    `json:"relative"`
	PerYear      bool    `json:"per_year"`
	Before       int     `json:"openings_before"`
	Now          int     `json:"openings_now"`
	Products     *int    `json:"products"`
	Shift        num     `json:"shift"`
	Low          num     `json:"low"`
	High         num     `json:"high"`
	MedianBefore num     `json:"median_before"`
	MedianNow    num     `json:"median_now"`
	Clear        bool    `json:"clear"`
	TooFew       bool    `json:"too_few"`
	Needed       *int    `json:"needed"`
	SizeMeasure  *string `json:"size_measure"`
	SizeFrom     num     `json:"size_from"`
	SizeTo       num     `json:"size_to"`
	Follows      *string `json:"follows"`
}

type reopenedJSON struct {
	Products    int            `json:"products"`
	Comparisons int            `json:"comparisons"`
	Chance      num            `json:"looks_expected_by_chance"`
	Changes     []changeJSON   `json:"changes"`
	Recorded    []recordedJSON `json:"recorded_otherwise"`
}

type changeJSON struct {
	Maker      string `json:"maker"`
	Part       string `json:"part"`
	Measure    string `json:"measure"`
	Relative   bool   `json:"relative"`
	Since      int    `json:"since"`
	Before     num    `json:"before"`
	Now        num    `json:"now"`
	NBefore    int    `json:"n_before"`
	N          int    `json:"n"`
	Difference num    `json:"difference"`
	Low        num    `json:"low"`
	High       num    `json:"high"`
	P          num    `json:"p"`
	Q          num    `json:"q"`
	Strength   string `json:"strength"`
	Lines      []int  `json:"lines"`
	Market     num    `json:"market_factor"`
}

type recordedJSON struct {
	Maker   string `json:"maker"`
	Part    string `json:"part"`
	Measure string `json:"measure"`
	Since   int    `json:"since"`
	Before  string `json:"before"`
	Now     string `json:"now"`
	Lines   []int  `json:"lines"`
}

type makersJSON struct {
	ID       string      `json:"id"`
	Measure  string      `json:"measure"`
	Against  string      `json:"against"`
	Relative bool        `json:"relative"`
	Products int         `json:"products"`
	Fitted   int         `json:"openings_fitted"`
	TooFew   bool        `json:"too_few"`
	Needed   *string     `json:"needed"`
	Mean     num         `json:"mean"`
	Between  num         `json:"sd_between"`
	Within   num         `json:"sd_within"`
	Q        num         `json:"sum_of_squares"`
	P        num         `json:"p"`
	Makers   []makerJSON `json:"makers"`
}

type makerJSON struct {
	Maker    string `json:"maker"`
	Products int    `json:"products"`
	Openings int    `json:"openings"`
	ThisYear int    `json:"openings_this_year"`
	Own      num    `json:"own"`
	Pooled   num    `json:"pooled"`
	Low      num    `json:"low"`
	High     num    `json:"high"`
	Weight   num    `json:"own_share"`
}

type recordJSON struct {
	Measure    string `json:"measure"`
	Highest    bool   `json:"highest"`
	Maker      string `json:"maker"`
	Part       string `json:"part"`
	Line       int    `json:"line"`
	Value      num    `json:"value"`
	OldMaker   string `json:"old_maker"`
	OldPart    string `json:"old_part"`
	OldYear    int    `json:"old_year"`
	OldLine    int    `json:"old_line"`
	OldValue   num    `json:"old_value"`
	Earlier    int    `json:"earlier_readings"`
	Beyond     bool   `json:"beyond_noise"`
	Relative   bool   `json:"relative"`
	Margin     num    `json:"margin"`
	MarginLow  num    `json:"margin_low"`
	MarginHigh num    `json:"margin_high"`
}

type gapJSON struct {
	Subject string `json:"subject"`
	Detail  string `json:"detail"`
	Measure string `json:"measure"`
	Have    int    `json:"have"`
	Need    int    `json:"need"`
	Unit    string `json:"unit"`
}

type nextJSON struct {
	Maker     string `json:"maker"`
	Part      string `json:"part"`
	Opened    int    `json:"opened"`
	Last      int    `json:"last"`
	Gain      num    `json:"gain"`
	PriceGain num    `json:"price_gain"`
	DriftGain num    `json:"drift_gain"`
	MakerGain num    `json:"maker_gain"`
}
