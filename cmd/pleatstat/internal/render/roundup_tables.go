package render

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"strconv"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/roundup"
)

// RoundupTable is one table of a roundup, as a CSV and as shown on a page, both in
// the log's units.
type RoundupTable struct {
	ID, Title string
	Columns   []RoundupColumn
	Rows      [][]RoundupCell
	RowIDs    []string // what a page links to; nil = nothing
}

// RoundupColumn heads a column: its key and its unit in the CSV, its words on a
// page ("" for a column that the CSV alone has, units mostly).
type RoundupColumn struct {
	Key, Words string
	Numeric    bool
	Unit       string
}

// RoundupCell is a cell: its text on a page, of a numeric column the value it is
// sorted by (NaN = missing), and what the CSV has where that is not the value.
type RoundupCell struct {
	Text  string
	Value float64
	CSV   string
	Note  string // what a page unfolds below the text
}

func (c RoundupCell) as(csv string) RoundupCell {
	c.CSV = csv
	return c
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

func (c RoundupColumn) in(unit string) RoundupColumn {
	c.Unit = unit
	return c
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

// RoundupCSV writes a table for other programs.
func RoundupCSV(w io.Writer, t RoundupTable) error {
	header := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		header[i] = headed(c.Key, c.Unit)
	}
	rows := make([][]string, len(t.Rows))
	for k, row := range t.Rows {
		rows[k] = make([]string, len(row))
		for i, cell := range row {
			rows[k][i] = cell.Text
			if t.Columns[i].Numeric {
				rows[k][i] = cmp.Or(cell.CSV, number(cell.Value))
			}
		}
	}
	return writeCSV(w, header, rows)
}

func (s speaker) rankingTable(t roundup.Table) RoundupTable {
	unit := unitOf(s.u, t.Measure)
	inCSV := func(v float64) string { return inUnit(s.u, t.Measure, v) }
	if t.Ratio {
		unit = "times"
		inCSV = func(v float64) string { return digitsOf(v, 3) }
	}
	out := RoundupTable{ID: t.ID, Title: wordsOfRanking(t.ID).title, Columns: []RoundupColumn{
		figureColumn("rank", "place"), figureColumn("rank_low", "best place"), figureColumn("rank_high", "worst place"),
		wordColumn("maker", "maker"), wordColumn("part", "part"), figureColumn("value", wordsOfRanking(t.ID).what).in(unit),
		figureColumn("low", "95 % from").in(unit), figureColumn("high", "95 % to").in(unit), figureColumn("openings", "openings")}}
	money := unitOf(s.u, "price")
	if t.ID == roundup.PriceForContents {
		out.Columns = append(out.Columns, figureColumn("price", "price").in(money), figureColumn("fair", "usual").in(money),
			figureColumn("fair_low", "19 of 20 from").in(money), figureColumn("fair_high", "19 of 20 to").in(money), wordColumn("grade", "grade"))
	}
	for _, p := range t.Places {
		low, high := whole(p.RankLow), whole(p.RankHigh)
		if p.RankLow == 0 {
			low, high = blank(), blank()
		}
		say := func(v float64) RoundupCell { return figure(v, s.exactly(t, v)).as(inCSV(v)) }
		row := []RoundupCell{whole(p.Rank), low, high, word(p.Maker), word(p.Part), say(p.Value), say(p.Low), say(p.High), whole(p.N)}
		if t.ID == roundup.PriceForContents {
			for _, v := range []float64{p.Verdict.Price, p.Verdict.Fair, p.Verdict.Low, p.Verdict.High} {
				row = append(row, s.reading("price", v))
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
	const ofChange = "in the change_unit"
	out := RoundupTable{ID: RoundupNews, Title: "What makers changed", Columns: []RoundupColumn{
		wordColumn("maker", "maker"), wordColumn("part", "part"), wordColumn("measure", "measure"), wordColumn("shape", "as"), wordColumn("since", "since"),
		wordColumn("change_unit", ""), figureColumn("by", "by").in(ofChange), figureColumn("low", "95 % from").in(ofChange), figureColumn("high", "95 % to").in(ofChange),
		figureColumn("openings", "openings"), wordColumn("example", "for example"), wordColumn("unit", ""), figureColumn("then", "then").in(ofRow), figureColumn("now", "now").in(ofRow)}}
	for _, e := range s.r.Changed {
		half := (e.Told.High - e.Told.Low) / 2
		unit, scale := s.scaled(e.Measure, e.Relative)
		say := func(v float64) RoundupCell {
			return figure(v, signedYearly(e, s.u, v, half)).as(inRange(v*scale, half*scale))
		}
		since, then, now := "", blank(), blank()
		if !e.Told.From.IsZero() {
			since = e.Told.From.Format("2006-01")
		}
		if e.Told.Example != "" {
			then, now = s.reading(e.Measure, e.Told.Then.Value), s.reading(e.Measure, e.Told.Now.Value)
		}
		shape := "a year"
		if e.Told.Shape == drift.AsStep {
			shape = "in one step"
		}
		out.Rows = append(out.Rows, []RoundupCell{word(e.Maker), word(e.Part), word(dataset.Words(e.Measure)), word(shape), word(since),
			word(unit), say(e.Told.By), say(e.Told.Low), say(e.Told.High), whole(e.N), word(e.Told.Example), word(unitOf(s.u, e.Measure)), then, now})
	}
	return out
}

// ofRow heads a column whose unit stands in each row.
const ofRow = "in the unit"

// scaled is the unit a change is told in, and what turns base units into it.
func (s speaker) scaled(measure string, relative bool) (unit string, scale float64) {
	if relative {
		return "%", hundred
	}
	return unitOf(s.u, measure), s.u.Of(measure).PerBase
}

// reading is a cell of a reading, in the CSV in the log's own unit.
func (s speaker) reading(measure string, v float64) RoundupCell {
	return figure(v, quantity(s.u, measure, v)).as(inUnit(s.u, measure, v))
}

// movedCell is a cell of a signed amount; half is half the width of its range.
func (s speaker) movedCell(measure string, relative bool, v, half float64) RoundupCell {
	_, scale := s.scaled(measure, relative)
	return figure(v, s.moved(measure, relative, v, half)).as(inRange(v*scale, half*scale))
}

func (s speaker) shiftTable() RoundupTable {
	out := RoundupTable{ID: RoundupShifts, Title: shiftsTitle, Columns: []RoundupColumn{
		wordColumn("measure", "measure"), wordColumn("group", "parts"), wordColumn("unit", "change in"), figureColumn("shift", "shift").in(ofRow),
		figureColumn("low", "95 % from").in(ofRow), figureColumn("high", "95 % to").in(ofRow), figureColumn("before", "openings before"),
		figureColumn("now", "openings now"), wordColumn("verdict", "verdict"), figureColumn("needed", "would do")}}
	for _, sh := range s.r.Shifts {
		unit, _ := s.scaled(sh.Measure, sh.Relative)
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
		say := func(v float64) RoundupCell { return s.movedCell(sh.Measure, sh.Relative, v, half) }
		needed := blank()
		if sh.TooFew {
			needed = whole(sh.Needed)
		}
		out.Rows = append(out.Rows, []RoundupCell{word(dataset.Words(sh.Measure)), word(sh.Group), word(unit), say(sh.Shift), say(sh.Low), say(sh.High),
			whole(sh.Before), whole(sh.Now), word(verdict), needed})
	}
	return out
}

func (s speaker) changeTable() RoundupTable {
	const ofDifference = "in the difference_unit"
	out := RoundupTable{ID: RoundupChanges, Title: "Changed in parts opened before", Columns: []RoundupColumn{
		wordColumn("maker", "maker"), wordColumn("part", "part"), wordColumn("measure", "measure"), figureColumn("since", "since"),
		wordColumn("unit", ""), figureColumn("before", "before").in(ofRow), figureColumn("now", "now").in(ofRow),
		wordColumn("difference_unit", ""), figureColumn("difference", "difference").in(ofDifference), figureColumn("low", "95 % from").in(ofDifference),
		figureColumn("high", "95 % to").in(ofDifference), figureColumn("p", "p"), figureColumn("q", "q"), wordColumn("strength", "strength")}}
	for _, c := range s.r.Reopened.Changes {
		half := (c.High - c.Low) / 2
		unit, _ := s.scaled(c.Measure, c.Relative)
		say := func(v float64) RoundupCell { return s.movedCell(c.Measure, c.Relative, v, half) }
		out.Rows = append(out.Rows, []RoundupCell{word(c.Maker), word(c.Part), word(dataset.Words(c.Measure)), whole(c.Since),
			word(unitOf(s.u, c.Measure)), s.reading(c.Measure, c.Before), s.reading(c.Measure, c.Now), word(unit), say(c.Difference), say(c.Low), say(c.High),
			figure(c.P, shortLevel(c.P)), figure(c.Q, shortLevel(c.Q)), word(changeOf(c).Strength)})
	}
	for _, w := range s.r.Reopened.Words {
		none := blank()
		out.Rows = append(out.Rows, []RoundupCell{word(w.Maker), word(w.Part),
			word(fmt.Sprintf("%s: %s, was %s", dataset.Words(w.Measure), w.Now, w.Before)), whole(w.Since), none, none, none, none, none, none, none, none, none, word("recorded otherwise")})
	}
	return out
}

func (s speaker) makersTable(t roundup.MakerTable) RoundupTable {
	unit, _ := s.scaled(t.Measure, t.Relative)
	out := RoundupTable{ID: MakersPrefix + t.ID,
		Title: fmt.Sprintf("Makers: %s against what the %s predicts", dataset.Words(t.Measure), dataset.Words(t.Against)),
		Columns: []RoundupColumn{wordColumn("maker", "maker"), figureColumn("products", "parts"), figureColumn("openings", "openings"),
			figureColumn("openings_this_year", "this year"), figureColumn("own", "own mean").in(unit), figureColumn("pooled", "moved to the middle").in(unit),
			figureColumn("low", "95 % from").in(unit), figureColumn("high", "95 % to").in(unit), figureColumn("own_share", "its own share").in("%")}}
	for _, r := range t.Rows {
		half := (r.High - r.Low) / 2
		say := func(v float64) RoundupCell { return s.movedCell(t.Measure, t.Relative, v, half) }
		out.Rows = append(out.Rows, []RoundupCell{word(r.Maker), whole(r.Products), whole(r.Openings), whole(r.ThisYear),
			say(r.Own), say(r.Pooled), say(r.Low), say(r.High), figure(r.Weight, percent(r.Weight)).as(digitsOf(hundred*r.Weight, 0))})
	}
	return out
}

func (s speaker) recordTable() RoundupTable {
	out := RoundupTable{ID: roundupRecords, Title: "Records", Columns: []RoundupColumn{
		wordColumn("measure", "measure"), wordColumn("unit", ""), wordColumn("end", "end"), wordColumn("maker", "maker"), wordColumn("part", "part"), figureColumn("value", "value").in(ofRow),
		wordColumn("old_maker", "before: maker"), wordColumn("old_part", "before: part"), figureColumn("old_year", "before: year"),
		figureColumn("old_value", "before: value").in(ofRow), wordColumn("margin", "margin")}}
	for _, r := range s.r.Records {
		end, margin := "lowest", "within what openings of one part differ by"
		if r.Highest {
			end = "highest"
		}
		if r.Beyond {
			margin = "beyond what openings of one part differ by"
		}
		out.Rows = append(out.Rows, []RoundupCell{word(dataset.Words(r.Measure)), word(unitOf(s.u, r.Measure)), word(end), word(r.Maker), word(r.Part),
			s.reading(r.Measure, r.Value), word(r.OldMaker), word(r.OldPart), whole(r.OldYear), s.reading(r.Measure, r.OldValue), word(margin)})
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
		figureColumn("gain", "gain").in("%"), figureColumn("price_gain", "of the price line").in("%"),
		figureColumn("drift_gain", "of the makers' yearly changes").in("%"), figureColumn("maker_gain", "of its maker's").in("%")}}
	for _, c := range s.r.Next {
		share := func(v float64) RoundupCell { return figure(v, shareOf(v)).as(digitsOf(hundred*v, 1)) }
		out.Rows = append(out.Rows, []RoundupCell{word(c.Maker), word(c.Part), whole(c.Opened), whole(c.Last),
			share(c.Gain), share(c.PriceGain), share(c.DriftGain), share(c.MakerGain)})
	}
	return out
}
