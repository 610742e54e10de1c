package programme

import (
	"fmt"

	"pleatstat/cmd/pleatstat/internal/render/changes"
	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/drift"
	"pleatstat/stats/roundup"
)

// Tables returns every table of a roundup that has rows.
func Tables(r *roundup.Roundup) []encode.Table {
	s := speaker{r, r.Units}
	var out []encode.Table
	add := func(t encode.Table) {
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

func (s speaker) rankingTable(t roundup.Table) encode.Table {
	unit := encode.UnitOf(s.u, t.Measure)
	inCSV := func(v float64) string { return encode.InUnit(s.u, t.Measure, v) }
	if t.Ratio {
		unit = "times"
		inCSV = func(v float64) string { return encode.Digits(v, 3) }
	}
	out := encode.Table{ID: t.ID, Title: WordsOfRanking(t.ID).title, Columns: []encode.Column{
		encode.FigureColumn("rank", "place"), encode.FigureColumn("rank_low", "best place"), encode.FigureColumn("rank_high", "worst place"),
		encode.WordColumn("maker", "maker"), encode.WordColumn("part", "part"), encode.FigureColumn("value", WordsOfRanking(t.ID).what).In(unit),
		encode.FigureColumn("low", "95 % from").In(unit), encode.FigureColumn("high", "95 % to").In(unit), encode.FigureColumn("openings", "openings")}}
	money := encode.UnitOf(s.u, "price")
	if t.ID == roundup.PriceForContents {
		out.Columns = append(out.Columns, encode.FigureColumn("price", "price").In(money), encode.FigureColumn("fair", "usual").In(money),
			encode.FigureColumn("fair_low", "19 of 20 from").In(money), encode.FigureColumn("fair_high", "19 of 20 to").In(money), encode.WordColumn("grade", "grade"))
	}
	for _, p := range t.Places {
		low, high := encode.Whole(p.RankLow), encode.Whole(p.RankHigh)
		if p.RankLow == 0 {
			low, high = encode.Blank(), encode.Blank()
		}
		say := func(v float64) encode.Cell { return encode.Figure(v, s.exactly(t, v)).As(inCSV(v)) }
		row := []encode.Cell{encode.Whole(p.Rank), low, high, encode.Word(p.Maker), encode.Word(p.Part), say(p.Value), say(p.Low), say(p.High), encode.Whole(p.N)}
		if t.ID == roundup.PriceForContents {
			for _, v := range []float64{p.Verdict.Price, p.Verdict.Fair, p.Verdict.Low, p.Verdict.High} {
				row = append(row, s.reading("price", v))
			}
			row = append(row, encode.Word(prices.ShortGrade(p.Verdict)))
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

// exactly returns a value of a ranking; a ratio as a signed difference in per cent.
func (s speaker) exactly(t roundup.Table, v float64) string {
	if t.Ratio {
		return s.moved("", true, v-1, 0.001)
	}
	return wording.Quantity(s.u, t.Measure, v)
}

func (s speaker) newsTable() encode.Table {
	const ofChange = "in the change_unit"
	out := encode.Table{ID: News, Title: "What makers changed", Columns: []encode.Column{
		encode.WordColumn("maker", "maker"), encode.WordColumn("part", "part"), encode.WordColumn("measure", "measure"), encode.WordColumn("shape", "as"), encode.WordColumn("since", "since"),
		encode.WordColumn("change_unit", ""), encode.FigureColumn("by", "by").In(ofChange), encode.FigureColumn("low", "95 % from").In(ofChange), encode.FigureColumn("high", "95 % to").In(ofChange),
		encode.FigureColumn("openings", "openings"), encode.WordColumn("example", "for example"), encode.WordColumn("unit", ""), encode.FigureColumn("then", "then").In(ofRow), encode.FigureColumn("now", "now").In(ofRow)}}
	for _, e := range s.r.Changed {
		half := (e.Statement.High - e.Statement.Low) / 2
		unit, scale := s.scaled(e.Measure, e.Relative)
		say := func(v float64) encode.Cell {
			return encode.Figure(v, changes.SignedYearly(e, s.u, v, half)).As(encode.InRange(v*scale, half*scale))
		}
		since, then, now := "", encode.Blank(), encode.Blank()
		if !e.Statement.From.IsZero() {
			since = e.Statement.From.Format("2006-01")
		}
		if e.Statement.Example != "" {
			then, now = s.reading(e.Measure, e.Statement.Then.Value), s.reading(e.Measure, e.Statement.Now.Value)
		}
		shape := "a year"
		if e.Statement.Shape == drift.AsStep {
			shape = "in one step"
		}
		out.Rows = append(out.Rows, []encode.Cell{encode.Word(e.Maker), encode.Word(e.Part), encode.Word(catalogue.Words(e.Measure)), encode.Word(shape), encode.Word(since),
			encode.Word(unit), say(e.Statement.By), say(e.Statement.Low), say(e.Statement.High), encode.Whole(e.N), encode.Word(e.Statement.Example), encode.Word(encode.UnitOf(s.u, e.Measure)), then, now})
	}
	return out
}

// ofRow is the unit in the heading of a column whose unit is in each row.
const ofRow = "in the unit"

// scaled returns the unit in which a change is stated, and the factor from base units
// to it.
func (s speaker) scaled(measure string, relative bool) (unit string, scale float64) {
	if relative {
		return "%", encode.Hundred
	}
	return encode.UnitOf(s.u, measure), s.u.Of(measure).PerBase
}

// reading returns a cell of a reading; the CSV has it in the log's own unit.
func (s speaker) reading(measure string, v float64) encode.Cell {
	return encode.Figure(v, wording.Quantity(s.u, measure, v)).As(encode.InUnit(s.u, measure, v))
}

// movedCell returns a cell of a signed amount; half is half the width of its range.
func (s speaker) movedCell(measure string, relative bool, v, half float64) encode.Cell {
	_, scale := s.scaled(measure, relative)
	return encode.Figure(v, s.moved(measure, relative, v, half)).As(encode.InRange(v*scale, half*scale))
}

func (s speaker) shiftTable() encode.Table {
	out := encode.Table{ID: Shifts, Title: shiftsTitle, Columns: []encode.Column{
		encode.WordColumn("measure", "measure"), encode.WordColumn("group", "parts"), encode.WordColumn("unit", "change in"), encode.FigureColumn("shift", "shift").In(ofRow),
		encode.FigureColumn("low", "95 % from").In(ofRow), encode.FigureColumn("high", "95 % to").In(ofRow), encode.FigureColumn("before", "openings before"),
		encode.FigureColumn("now", "openings now"), encode.WordColumn("verdict", "verdict"), encode.FigureColumn("needed", "would do")}}
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
		say := func(v float64) encode.Cell { return s.movedCell(sh.Measure, sh.Relative, v, half) }
		needed := encode.Blank()
		if sh.TooFew {
			needed = encode.Whole(sh.Needed)
		}
		out.Rows = append(out.Rows, []encode.Cell{encode.Word(catalogue.Words(sh.Measure)), encode.Word(sh.Group), encode.Word(unit), say(sh.Shift), say(sh.Low), say(sh.High),
			encode.Whole(sh.Before), encode.Whole(sh.Now), encode.Word(verdict), needed})
	}
	return out
}

func (s speaker) changeTable() encode.Table {
	const ofDifference = "in the difference_unit"
	out := encode.Table{ID: Changes, Title: "Changed in parts opened before", Columns: []encode.Column{
		encode.WordColumn("maker", "maker"), encode.WordColumn("part", "part"), encode.WordColumn("measure", "measure"), encode.FigureColumn("since", "since"),
		encode.WordColumn("unit", ""), encode.FigureColumn("before", "before").In(ofRow), encode.FigureColumn("now", "now").In(ofRow),
		encode.WordColumn("difference_unit", ""), encode.FigureColumn("difference", "difference").In(ofDifference), encode.FigureColumn("low", "95 % from").In(ofDifference),
		encode.FigureColumn("high", "95 % to").In(ofDifference), encode.FigureColumn("p", "p"), encode.FigureColumn("q", "q"), encode.WordColumn("strength", "strength")}}
	for _, c := range s.r.Reopened.Changes {
		half := (c.High - c.Low) / 2
		unit, _ := s.scaled(c.Measure, c.Relative)
		say := func(v float64) encode.Cell { return s.movedCell(c.Measure, c.Relative, v, half) }
		out.Rows = append(out.Rows, []encode.Cell{encode.Word(c.Maker), encode.Word(c.Part), encode.Word(catalogue.Words(c.Measure)), encode.Whole(c.Since),
			encode.Word(encode.UnitOf(s.u, c.Measure)), s.reading(c.Measure, c.Before), s.reading(c.Measure, c.Now), encode.Word(unit), say(c.Difference), say(c.Low), say(c.High),
			encode.Figure(c.P, wording.ShortLevel(c.P)), encode.Figure(c.Q, wording.ShortLevel(c.Q)), encode.Word(changeOf(c).Strength)})
	}
	for _, w := range s.r.Reopened.Words {
		none := encode.Blank()
		out.Rows = append(out.Rows, []encode.Cell{encode.Word(w.Maker), encode.Word(w.Part),
			encode.Word(fmt.Sprintf("%s: %s, was %s", catalogue.Words(w.Measure), w.Now, w.Before)), encode.Whole(w.Since), none, none, none, none, none, none, none, none, none, encode.Word("recorded otherwise")})
	}
	return out
}

func (s speaker) makersTable(t roundup.MakerTable) encode.Table {
	unit, _ := s.scaled(t.Measure, t.Relative)
	out := encode.Table{ID: MakersPrefix + t.ID,
		Title: fmt.Sprintf("Makers: %s against what the %s predicts", catalogue.Words(t.Measure), catalogue.Words(t.Against)),
		Columns: []encode.Column{encode.WordColumn("maker", "maker"), encode.FigureColumn("products", "parts"), encode.FigureColumn("openings", "openings"),
			encode.FigureColumn("openings_this_year", "this year"), encode.FigureColumn("own", "own mean").In(unit), encode.FigureColumn("pooled", "moved to the middle").In(unit),
			encode.FigureColumn("low", "95 % from").In(unit), encode.FigureColumn("high", "95 % to").In(unit), encode.FigureColumn("own_share", "its own share").In("%")}}
	for _, r := range t.Rows {
		half := (r.High - r.Low) / 2
		say := func(v float64) encode.Cell { return s.movedCell(t.Measure, t.Relative, v, half) }
		out.Rows = append(out.Rows, []encode.Cell{encode.Word(r.Maker), encode.Whole(r.Products), encode.Whole(r.Openings), encode.Whole(r.ThisYear),
			say(r.Own), say(r.Pooled), say(r.Low), say(r.High), encode.Figure(r.Weight, wording.Percent(r.Weight)).As(encode.Digits(encode.Hundred*r.Weight, 0))})
	}
	return out
}

func (s speaker) recordTable() encode.Table {
	out := encode.Table{ID: roundupRecords, Title: "Records", Columns: []encode.Column{
		encode.WordColumn("measure", "measure"), encode.WordColumn("unit", ""), encode.WordColumn("end", "end"), encode.WordColumn("maker", "maker"), encode.WordColumn("part", "part"), encode.FigureColumn("value", "value").In(ofRow),
		encode.WordColumn("old_maker", "before: maker"), encode.WordColumn("old_part", "before: part"), encode.FigureColumn("old_year", "before: year"),
		encode.FigureColumn("old_value", "before: value").In(ofRow), encode.WordColumn("margin", "margin")}}
	for _, r := range s.r.Records {
		end, margin := "lowest", "within what openings of one part differ by"
		if r.Highest {
			end = "highest"
		}
		if r.Beyond {
			margin = "beyond what openings of one part differ by"
		}
		out.Rows = append(out.Rows, []encode.Cell{encode.Word(catalogue.Words(r.Measure)), encode.Word(encode.UnitOf(s.u, r.Measure)), encode.Word(end), encode.Word(r.Maker), encode.Word(r.Part),
			s.reading(r.Measure, r.Value), encode.Word(r.OldMaker), encode.Word(r.OldPart), encode.Whole(r.OldYear), s.reading(r.Measure, r.OldValue), encode.Word(margin)})
	}
	return out
}

func (s speaker) gapTable() encode.Table {
	out := encode.Table{ID: roundupGaps, Title: "Not measured often enough", Columns: []encode.Column{
		encode.WordColumn("what", "what"), encode.FigureColumn("have", "have"), encode.FigureColumn("need", "would do"), encode.WordColumn("unit", "of")}}
	for _, g := range s.r.Gaps {
		out.Rows = append(out.Rows, []encode.Cell{encode.Word(gapWords(g) + ", " + measureOf(g)), encode.Whole(g.Have), encode.Whole(g.Need), encode.Word(g.Unit)})
	}
	return out
}

func (s speaker) nextTable() encode.Table {
	out := encode.Table{ID: roundupNext, Title: "What to open again", Columns: []encode.Column{
		encode.WordColumn("maker", "maker"), encode.WordColumn("part", "part"), encode.FigureColumn("opened", "opened"), encode.FigureColumn("last", "last"),
		encode.FigureColumn("gain", "gain").In("%"), encode.FigureColumn("price_gain", "of the price line").In("%"),
		encode.FigureColumn("drift_gain", "of the makers' yearly changes").In("%"), encode.FigureColumn("maker_gain", "of its maker's").In("%")}}
	for _, c := range s.r.Next {
		share := func(v float64) encode.Cell {
			return encode.Figure(v, shareOf(v)).As(encode.Digits(encode.Hundred*v, 1))
		}
		out.Rows = append(out.Rows, []encode.Cell{encode.Word(c.Maker), encode.Word(c.Part), encode.Whole(c.Opened), encode.Whole(c.Last),
			share(c.Gain), share(c.PriceGain), share(c.DriftGain), share(c.MakerGain)})
	}
	return out
}
