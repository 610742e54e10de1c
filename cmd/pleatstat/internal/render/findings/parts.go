package findings

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/report"
	"pleatstat/stats/roundup"
	"pleatstat/stats/trend"
)

// partsID is the ID of the table of parts on a page, and the prefix of its rows' IDs.
const partsID = "parts"

// partRow holds what the row of one part shows.
type partRow struct {
	maker, part string
	verdict     price.Verdict
	forMoney    float64 // media area for one unit of the log's currency, base units; NaN = not known
	gauge       float64 // mm; NaN = not measured
	changes     []string
	openings    int
	lines       []int
}

// Parts returns every part of a log as one table, the dearest for its contents first.
// log is without the readings set aside.
func Parts(log *dataset.Log, f *report.Findings) encode.Table {
	areas, gauges := drift.AsMadeNow(log, "media_area", f.Drift), drift.AsMadeNow(log, "can_gauge", f.Drift)
	rows := make([]partRow, log.Products())
	makers, parts := log.Strings("maker"), log.Strings("part")
	for i := range log.Rows() {
		k := log.Product(i)
		r := &rows[k]
		r.maker, r.part = makers[i], parts[i]
		r.openings++
		r.lines = append(r.lines, log.Line(i))
	}
	verdicts := map[[2]string]price.Verdict{}
	place := map[[2]string]int{}
	for i, v := range f.Verdicts {
		verdicts[[2]string{v.Maker, v.Part}] = v
		place[[2]string{v.Maker, v.Part}] = i
	}
	for k := range rows {
		r := &rows[k]
		key := [2]string{r.maker, r.part}
		v, judged := verdicts[key]
		if !judged {
			v = unjudged(r.maker, r.part)
			place[key] = len(f.Verdicts) + k
		}
		r.verdict, r.forMoney, r.gauge = v, areas[k]/v.Price, gauges[k]
		r.changes = changesOfPart(f.Drift, r.maker, r.part)
	}
	slices.SortStableFunc(rows, func(a, b partRow) int {
		return cmp.Compare(place[[2]string{a.maker, a.part}], place[[2]string{b.maker, b.part}])
	})
	title := "Every part of the log"
	if f.Usable >= price.LeastProducts {
		title += ", the dearest for its contents first"
	}
	return partsTable(title, rows, f.Units)
}

// unjudged returns the verdict on a part that was not judged.
func unjudged(maker, part string) price.Verdict {
	return price.Verdict{Maker: maker, Part: part, Grade: trend.CannotSay, Price: math.NaN(), Fair: math.NaN(), Ratio: math.NaN()}
}

// changesOfPart returns, in short, what changed over the years in a part's own readings
// and in those of its maker's parts together.
func changesOfPart(entries []drift.Entry, maker, part string) []string {
	var own, makers []string
	for _, e := range entries {
		if !e.Covers(dataset.Label{Maker: maker, Part: part}) || !e.Moved() {
			continue
		}
		how := map[drift.Verdict]string{drift.Falling: "falling", drift.Rising: "rising"}[e.Verdict]
		if e.Statement.Shape == drift.AsStep {
			how = map[drift.Verdict]string{drift.Falling: "lower", drift.Rising: "higher"}[e.Verdict]
		}
		change := catalogue.Words(e.Measure) + " " + how
		if !e.Statement.From.IsZero() {
			change += " since " + wording.Month(e.Statement.From)
		}
		if e.Part == "" {
			makers = append(makers, wording.Short(maker)+": "+change)
		} else {
			own = append(own, change)
		}
	}
	return append(own, makers...)
}

// PartsOfYear returns the parts of a roundup's year as one table, in the order of the
// roundup's tables with that of prices against contents first.
func PartsOfYear(r *roundup.Roundup) encode.Table {
	var rows []partRow
	at, areas := map[[2]string]int{}, map[[2]string]float64{}
	row := func(maker, part string) *partRow {
		key := [2]string{maker, part}
		if _, there := at[key]; !there {
			at[key] = len(rows)
			rows = append(rows, partRow{maker: maker, part: part, forMoney: math.NaN(), gauge: math.NaN(),
				verdict: unjudged(maker, part)})
		}
		return &rows[at[key]]
	}
	tables := slices.Clone(r.Tables)
	if i := slices.IndexFunc(tables, func(t roundup.Table) bool { return t.ID == roundup.PriceForContents }); i > 0 {
		tables = slices.Insert(slices.Delete(tables, i, i+1), 0, r.Tables[i]) // the dearest for its contents comes first
	}
	for _, t := range tables {
		for _, p := range t.Places {
			at := row(p.Maker, p.Part)
			switch t.Measure {
			case "media_area":
				areas[[2]string{p.Maker, p.Part}] = p.Value
			case "can_gauge":
				at.gauge = p.Value
			}
			if t.ID == roundup.PriceForContents {
				at.verdict = p.Verdict
			}
			if p.N > at.openings {
				at.openings = p.N
			}
			if len(p.Lines) > len(at.lines) {
				at.lines = p.Lines
			}
		}
	}
	for _, c := range r.Reopened.Changes {
		if c.Clear {
			how := map[bool]string{true: "higher", false: "lower"}[c.Difference > 0]
			at := row(c.Maker, c.Part)
			at.changes = append(at.changes, fmt.Sprintf("%s %s than in %d", catalogue.Words(c.Measure), how, c.Since))
		}
	}
	for i := range rows {
		if area, measured := areas[[2]string{rows[i].maker, rows[i].part}]; measured {
			rows[i].forMoney = area / rows[i].verdict.Price // in the same money as the price beside it
		}
		rows[i].changes = append(rows[i].changes, changesOfPart(r.Changed, rows[i].maker, rows[i].part)...)
	}
	return partsTable(fmt.Sprintf("Every part opened in %d, the dearest for its contents first", r.Year), rows, r.Units)
}

// listedLines is the number of lines of the log that a row names.
const listedLines = 20

func partsTable(title string, rows []partRow, u dataset.Units) encode.Table {
	money, area := encode.UnitOf(u, "price"), u.Of("media_area")
	one := "media for each " + cmp.Or(map[string]string{"£": "pound", "$": "dollar", "€": "euro"}[money], money, "unit of money")
	out := encode.Table{ID: partsID, Title: title, Columns: []encode.Column{encode.WordColumn("name", "filter"), encode.FigureColumn("grade", "price for its contents"),
		encode.FigureColumn("price", "price"), encode.FigureColumn("usual", "usual price"), encode.FigureColumn("times", "times the usual"),
		encode.FigureColumn("media_for_money", one), encode.FigureColumn("gauge", "can gauge"), encode.WordColumn("changes", "changes"), encode.FigureColumn("openings", "openings")}}
	none := make([]bool, len(out.Columns))
	for i := range none {
		none[i] = true
	}
	for i, r := range rows {
		times := encode.Figure(r.verdict.Ratio, "")
		if !math.IsNaN(times.Value) {
			times.Text = wording.Fixed(r.verdict.Ratio, 2)
		}
		numbers := wording.Numerals(r.lines[:min(len(r.lines), listedLines)])
		if more := len(r.lines) - listedLines; more > 0 {
			numbers = append(numbers, fmt.Sprintf("and %d more", more))
		}
		openings := encode.Whole(r.openings)
		if len(r.lines) > 0 {
			openings.Note = "lines of the log: " + strings.Join(numbers, ", ")
		}
		changes := encode.Word("")
		if len(r.changes) > 0 {
			changes = encode.Word(r.changes[0])
			changes.Note = strings.Join(r.changes[1:], "; ")
		}
		row := []encode.Cell{encode.Word(wording.Name(r.maker, r.part)), gradeCell(r.verdict),
			encode.Figure(r.verdict.Price, wording.Quantity(u, "price", r.verdict.Price)), encode.Figure(r.verdict.Fair, wording.Quantity(u, "price", r.verdict.Fair)), times,
			encode.Figure(r.forMoney, wording.Unbroken(rounded3(r.forMoney*area.PerBase)+" "+area.Symbol)), encode.Figure(r.gauge, wording.Quantity(u, "can_gauge", r.gauge)),
			changes, openings}
		for k, c := range row {
			none[k] = none[k] && (c.Text == "–" || c.Text == "")
		}
		out.Rows = append(out.Rows, row)
		out.RowIDs = append(out.RowIDs, partsID+"-"+strconv.Itoa(i+1))
	}
	return out.Without(none)
}

// rounded3 returns a number in three significant digits, or its whole part if that has
// more.
func rounded3(v float64) string {
	if !(v > 0) || math.IsInf(v, 0) {
		return "–"
	}
	return wording.Fixed(v, max(0, 2-int(math.Floor(math.Log10(v)))))
}

// gradeCell returns a verdict's grade as a cell that sorts from clearly above to clearly
// below.
func gradeCell(v price.Verdict) encode.Cell {
	size := map[trend.Grade]float64{trend.Clear: 3, trend.Probable: 2, trend.Hint: 1}[v.Grade]
	switch {
	case v.Grade == trend.CannotSay:
		return encode.Cell{Text: "can't say", Value: math.NaN()}
	case size == 0:
		return encode.Figure(0, "as expected")
	case v.Direction == price.Below:
		size = -size
	}
	return encode.Figure(size, prices.GradeAdverb(v.Grade)+v.Direction)
}
