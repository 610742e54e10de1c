package render

import (
	"fmt"
	"io"
	"math"
	"strconv"

	"pleatstat/stats/drift"
	"pleatstat/stats/roundup"
	"pleatstat/stats/trend"
)

// RoundupTable is one table of a roundup: as a CSV in base units, and as shown
// on a page in the log's units.
type RoundupTable struct {
	ID, Title string
	Columns   []RoundupColumn
	Rows      [][]RoundupCell
}

// RoundupColumn heads a column: its key in the CSV, its words on a page.
type RoundupColumn struct {
	Key, Words string
	Numeric    bool
}

// RoundupCell is a cell: its text on a page and, of a numeric column, its value
// in base units (NaN = missing).
type RoundupCell struct {
	Text  string
	Value float64
}

func word(s string) RoundupCell { return RoundupCell{Text: s, Value: math.NaN()} }

// figure is a number with the text it is shown as.
func figure(v float64, text string) RoundupCell {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return RoundupCell{Text: "–", Value: math.NaN()}
	}
	return RoundupCell{Text: text, Value: v}
}

// blank is a cell of a numeric column without a number.
func blank() RoundupCell { return RoundupCell{Value: math.NaN()} }

func whole(n int) RoundupCell { return figure(float64(n), strconv.Itoa(n)) }

// wordColumn and figureColumn head a column of words or of numbers.
func wordColumn(key, words string) RoundupColumn { return RoundupColumn{Key: key, Words: words} }
func figureColumn(key, words string) RoundupColumn {
	return RoundupColumn{Key: key, Words: words, Numeric: true}
}

// RoundupTables lays out every table of a roundup that has rows.
func RoundupTables(r *roundup.Roundup) []RoundupTable {
	s := speaker{r, r.Units}
	var out []RoundupTable
	add := func(t RoundupTable) {
		if len(t.Rows) > 0 {
			out = append(out, t)
		}
	}
	for _, t := range r.Tables {
		add(s.rankingTable(t))
	}
	add(s.newsTable())
	add(s.shiftTable())
	add(s.changeTable())
	for _, t := range r.Makers {
		add(s.makersTable(t))
	}
	add(s.recordTable())
	add(s.gapTable())
	add(s.nextTable())
	return out
}

// RoundupCSV writes a table in base units.
func RoundupCSV(w io.Writer, t RoundupTable) error {
	header := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		header[i] = c.Key
	}
	rows := make([][]string, len(t.Rows))
	for k, row := range t.Rows {
		rows[k] = make([]string, len(row))
		for i, cell := range row {
			rows[k][i] = cell.Text
			if t.Columns[i].Numeric {
				rows[k][i] = number(cell.Value)
			}
		}
	}
	return writeCSV(w, header, rows)
}

func (s speaker) rankingTable(t roundup.Table) RoundupTable {
	out := RoundupTable{ID: t.ID, Title: wordsOfRanking(t.ID).title, Columns: []RoundupColumn{
		figureColumn("rank", "place"), figureColumn("rank_low", "best place"), figureColumn("rank_high", "worst place"),
		wordColumn("maker", "maker"), wordColumn("part", "part"), figureColumn("value", wordsOfRanking(t.ID).what),
		figureColumn("low", "95 % from"), figureColumn("high", "95 % to"), figureColumn("openings", "openings")}}
	if t.ID == roundup.PriceForContents {
		out.Columns = append(out.Columns, figureColumn("price", "price"), figureColumn("fair", "usual"), figureColumn("fair_low", "19 of 20 from"), figureColumn("fair_high", "19 of 20 to"), wordColumn("grade", "grade"))
	}
	for _, p := range t.Places {
		low, high := whole(p.RankLow), whole(p.RankHigh)
		if p.RankLow == 0 {
			low, high = blank(), blank()
		}
		row := []RoundupCell{whole(p.Rank), low, high, word(p.Maker), word(p.Part), figure(p.Value, s.exactly(t, p.Value)),
			figure(p.Low, s.exactly(t, p.Low)), figure(p.High, s.exactly(t, p.High)), whole(p.N)}
		if t.ID == roundup.PriceForContents {
			for _, v := range []float64{p.Verdict.Price, p.Verdict.Fair, p.Verdict.Low, p.Verdict.High} {
				row = append(row, figure(v, quantity(s.u, "price", v)))
			}
			row = append(row, word(shortGrade(p.Verdict)))
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

// exactly is a value of a ranking with its sign where it is one against others.
func (s speaker) exactly(t roundup.Table, v float64) string {
	if t.Ratio {
		return s.moved("", true, v-1, 0.001)
	}
	return quantity(s.u, t.Measure, v)
}

func (s speaker) newsTable() RoundupTable {
	out := RoundupTable{ID: RoundupNews, Title: "What makers changed", Columns: []RoundupColumn{
		wordColumn("maker", "maker"), wordColumn("part", "part"), wordColumn("measure", "measure"), wordColumn("shape", "as"), wordColumn("since", "since"),
		figureColumn("by", "by"), figureColumn("low", "95 % from"), figureColumn("high", "95 % to"), figureColumn("openings", "openings"),
		wordColumn("example", "for example"), figureColumn("then", "then"), figureColumn("now", "now")}}
	for _, e := range s.r.Changed {
		half := (e.Told.High - e.Told.Low) / 2
		say := func(v float64) RoundupCell { return figure(v, signedYearly(e, s.u, v, half)) }
		since, then, now := "", blank(), blank()
		if !e.Told.From.IsZero() {
			since = e.Told.From.Format("2006-01")
		}
		if e.Told.Example != "" {
			then = figure(e.Told.Then.Value, quantity(s.u, e.Measure, e.Told.Then.Value))
			now = figure(e.Told.Now.Value, quantity(s.u, e.Measure, e.Told.Now.Value))
		}
		shape := "a year"
		if e.Told.Shape == drift.AsStep {
			shape = "in one step"
		}
		out.Rows = append(out.Rows, []RoundupCell{word(e.Maker), word(e.Part), word(trend.Words(e.Measure)), word(shape), word(since),
			say(e.Told.By), say(e.Told.Low), say(e.Told.High), whole(e.N), word(e.Told.Example), then, now})
	}
	return out
}

func (s speaker) shiftTable() RoundupTable {
	out := RoundupTable{ID: RoundupShifts, Title: s.shiftsTitle(), Columns: []RoundupColumn{
		wordColumn("measure", "measure"), wordColumn("group", "parts"), wordColumn("unit", "change in"), figureColumn("shift", "shift"),
		figureColumn("low", "95 % from"), figureColumn("high", "95 % to"), figureColumn("before", "openings before"),
		figureColumn("now", "openings now"), wordColumn("verdict", "verdict"), figureColumn("needed", "would do")}}
	for _, sh := range s.r.Shifts {
		unit := s.u.Of(sh.Measure).Symbol
		if sh.Relative {
			unit = "%"
		}
		if sh.PerYear {
			unit += " a year"
		}
		verdict := "no sure change"
		switch {
		case sh.TooFew:
			verdict = "too few"
		case sh.Clear && sh.Shift > 0:
			verdict = "higher"
		case sh.Clear:
			verdict = "lower"
		}
		half := (sh.High - sh.Low) / 2
		say := func(v float64) RoundupCell { return figure(v, s.moved(sh.Measure, sh.Relative, v, half)) }
		needed := blank()
		if sh.TooFew {
			needed = whole(sh.Needed)
		}
		out.Rows = append(out.Rows, []RoundupCell{word(trend.Words(sh.Measure)), word(sh.Group), word(unit), say(sh.Shift), say(sh.Low), say(sh.High),
			whole(sh.Before), whole(sh.Now), word(verdict), needed})
	}
	return out
}

func (s speaker) changeTable() RoundupTable {
	out := RoundupTable{ID: RoundupChanges, Title: "Changed in parts opened before", Columns: []RoundupColumn{
		wordColumn("maker", "maker"), wordColumn("part", "part"), wordColumn("measure", "measure"), figureColumn("since", "since"),
		figureColumn("before", "before"), figureColumn("now", "now"), figureColumn("difference", "difference"), figureColumn("low", "95 % from"),
		figureColumn("high", "95 % to"), figureColumn("p", "p"), figureColumn("q", "q"), wordColumn("strength", "strength")}}
	for _, c := range s.r.Reopened.Changes {
		half := (c.High - c.Low) / 2
		say := func(v float64) RoundupCell { return figure(v, s.moved(c.Measure, c.Relative, v, half)) }
		strength := "look"
		if c.Clear {
			strength = "clear"
		}
		out.Rows = append(out.Rows, []RoundupCell{word(c.Maker), word(c.Part), word(trend.Words(c.Measure)), whole(c.Since),
			figure(c.Before, quantity(s.u, c.Measure, c.Before)), figure(c.Now, quantity(s.u, c.Measure, c.Now)), say(c.Difference), say(c.Low), say(c.High),
			figure(c.P, shortLevel(c.P)), figure(c.Q, shortLevel(c.Q)), word(strength)})
	}
	for _, w := range s.r.Reopened.Words {
		none := blank()
		out.Rows = append(out.Rows, []RoundupCell{word(w.Maker), word(w.Part),
			word(fmt.Sprintf("%s: %s, was %s", trend.Words(w.Measure), w.Now, w.Before)), whole(w.Since), none, none, none, none, none, none, none, word("recorded otherwise")})
	}
	return out
}

func (s speaker) makersTable(t roundup.MakerTable) RoundupTable {
	out := RoundupTable{ID: MakersPrefix + t.ID,
		Title: fmt.Sprintf("Makers: %s against what the %s predicts", trend.Words(t.Measure), trend.Words(t.Against)),
		Columns: []RoundupColumn{wordColumn("maker", "maker"), figureColumn("products", "parts"), figureColumn("openings", "openings"),
			figureColumn("openings_this_year", "this year"), figureColumn("own", "own mean"), figureColumn("pooled", "moved to the middle"),
			figureColumn("low", "95 % from"), figureColumn("high", "95 % to"), figureColumn("own_share", "its own share")}}
	for _, r := range t.Rows {
		half := (r.High - r.Low) / 2
		say := func(v float64) RoundupCell { return figure(v, s.moved(t.Measure, t.Relative, v, half)) }
		out.Rows = append(out.Rows, []RoundupCell{word(r.Maker), whole(r.Products), whole(r.Openings), whole(r.ThisYear),
			say(r.Own), say(r.Pooled), say(r.Low), say(r.High), figure(r.Weight, percent(r.Weight))})
	}
	return out
}

func (s speaker) recordTable() RoundupTable {
	out := RoundupTable{ID: roundupRecords, Title: "Records", Columns: []RoundupColumn{
		wordColumn("measure", "measure"), wordColumn("end", "end"), wordColumn("maker", "maker"), wordColumn("part", "part"), figureColumn("value", "value"),
		wordColumn("old_maker", "before: maker"), wordColumn("old_part", "before: part"), figureColumn("old_year", "before: year"),
		figureColumn("old_value", "before: value"), wordColumn("margin", "margin")}}
	for _, r := range s.r.Records {
		end, margin := "lowest", "within what openings of one part differ by"
		if r.Highest {
			end = "highest"
		}
		if r.Beyond {
			margin = "beyond what openings of one part differ by"
		}
		out.Rows = append(out.Rows, []RoundupCell{word(trend.Words(r.Measure)), word(end), word(r.Maker), word(r.Part),
			figure(r.Value, quantity(s.u, r.Measure, r.Value)), word(r.OldMaker), word(r.OldPart), whole(r.OldYear),
			figure(r.OldValue, quantity(s.u, r.Measure, r.OldValue)), word(margin)})
	}
	return out
}

func (s speaker) gapTable() RoundupTable {
	out := RoundupTable{ID: roundupGaps, Title: "Not measured often enough", Columns: []RoundupColumn{
		wordColumn("what", "what"), figureColumn("have", "have"), figureColumn("need", "would do"), wordColumn("unit", "of")}}
	for _, g := range s.r.Gaps {
		out.Rows = append(out.Rows, []RoundupCell{word(gapWords(g) + ", " + measureOf(g)), whole(g.Have), whole(g.Need), word(g.Unit)})
	}
	return out
}

func (s speaker) nextTable() RoundupTable {
	out := RoundupTable{ID: roundupNext, Title: "What to open again", Columns: []RoundupColumn{
		wordColumn("maker", "maker"), wordColumn("part", "part"), figureColumn("opened", "opened"), figureColumn("last", "last"),
		figureColumn("gain", "gain"), figureColumn("price_gain", "of the price line"), figureColumn("drift_gain", "of the makers' yearly changes"),
		figureColumn("maker_gain", "of its maker's")}}
	for _, c := range s.r.Next {
		share := func(v float64) RoundupCell { return figure(v, shareOf(v)) }
		out.Rows = append(out.Rows, []RoundupCell{word(c.Maker), word(c.Part), whole(c.Opened), whole(c.Last),
			share(c.Gain), share(c.PriceGain), share(c.DriftGain), share(c.MakerGain)})
	}
	return out
}
