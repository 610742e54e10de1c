package findings

import (
	"fmt"
	"io"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/cmd/pleatstat/internal/render/logs"
	"pleatstat/cmd/pleatstat/internal/render/trends"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/coverage"
	"pleatstat/stats/report"
)

// questions holds what a log may answer, worded as a question, and the command that
// answers it.
var questions = map[string][2]string{
	"price-media_area":      {"what the market charges for an area of media, and which part is off it", "report"},
	"can_gauge-can_mass":    {"how thick a can of its mass is, and which reading may be a slip", "report"},
	"pleats-element_width":  {"how many pleats a strip of its width has", "report"},
	"media_mass-media_area": {"how heavy the media is for its area", "report"},
	"media_length-pleats":   {"how much media goes into a pleat", "report"},
	"drift":                 {"what a maker changed over the years", "drift"},
	"compare":               {"how two parts differ", "compare"},
	"roundup":               {"what goes into the yearly roundup", "roundup"},
}

// asked returns the question with an ID and the command that answers it. The question
// of a trend without words of its own names its two columns.
func asked(id string) (question, command string) {
	if own, ok := questions[id]; ok {
		return own[0], own[1]
	}
	d := trends.DefinitionOf(id)
	if d.ID == "" {
		return "", ""
	}
	return "how " + catalogue.Words(d.Response) + " goes with " + catalogue.Words(d.Predictor), "report"
}

// Start writes one page about a log that is read for the first time.
func Start(t *wording.Text, c *coverage.Coverage, f *report.Findings) {
	t.Notices(f.Notices)
	t.Heading("What is in it")
	logSentence(t, f)
	logs.SheetsRead(t, f.Log.Columns.Sheets)
	t.Heading("What was read as what")
	columnTable(t, c)
	notUsed(t, c)
	t.Heading("What it can answer already")
	n := 0
	for _, q := range c.Questions {
		if q.Answered {
			n++
			question, command := asked(q.ID)
			t.Item(wording.UpperFirst(question) + have(q) + ": pleatstat " + command)
		}
	}
	if own := ownNumbers(c); len(own) > 1 {
		n++
		t.Item(fmt.Sprintf("Whether two columns of your own go together: pleatstat trend --of '%s' --on '%s'", own[0], own[1]))
	}
	if n == 0 {
		t.Para("Nothing yet.")
	}
	notYet(t, c)
	oneMore(t, c)
	t.Heading("The first finding")
	sentence, evidence := firstFinding(c, f)
	t.Para(sentence)
	t.Evidence(evidence)
}

func have(q coverage.Question) string {
	switch {
	case q.ID == "drift" && q.Have > 0:
		return fmt.Sprintf(" (up to %s opened again)", wording.Counted(q.Have, "part", "parts"))
	case q.Have > 0:
		return fmt.Sprintf(" (%s)", wording.Counted(q.Have, "part", "parts"))
	}
	return ""
}

// The widths of the table's columns, in display columns.
const wideHeader, wideColumn, wideUnit = 25, 23, 6

func columnTable(t *wording.Text, c *coverage.Coverage) {
	row := func(header, column, unit, filled string) {
		t.Line(wording.Pad(wording.Clip(header, wideHeader-1), wideHeader) + wording.Pad(wording.Clip(column, wideColumn-1), wideColumn) + wording.Pad(unit, wideUnit) + filled)
	}
	row("header", "read as", "unit", "filled")
	for _, r := range c.Columns {
		row(r.Header, catalogue.Words(r.Column), r.Unit, filled(r.Filled, c.Openings))
	}
	for _, r := range c.Columns {
		if r.Why != "" {
			t.Item(fmt.Sprintf("'%s' is read as %s: %s.", wording.Short(r.Header), catalogue.Words(r.Column), r.Why))
		}
	}
}

func filled(n, of int) string {
	switch {
	case n == of:
		return "all"
	case n == 0:
		return "none"
	}
	return fmt.Sprintf("%s of %s", wording.Thousands(n), wording.Thousands(of))
}

func notUsed(t *wording.Text, c *coverage.Coverage) {
	if len(c.Own) == 0 {
		return
	}
	t.Heading("Not used")
	for _, o := range c.Own {
		switch {
		case o.Why != "":
			t.Item(fmt.Sprintf("'%s' %s.", wording.Short(o.Header), o.Why))
		case len(o.MayBe) > 0:
			t.Item(fmt.Sprintf("'%s': did you mean %s? Say --column %s='%s'.", wording.Short(o.Header), strings.Join(wording.ColumnNames(o.MayBe), " or "), o.MayBe[0], wording.Short(o.Header)))
		case o.Numbers:
			t.Item(fmt.Sprintf("'%s' (numbers, %s; the trend command takes it)", wording.Short(o.Header), filled(o.Filled, c.Openings)))
		default:
			t.Item(fmt.Sprintf("'%s' (words, %s)", wording.Short(o.Header), filled(o.Filled, c.Openings)))
		}
	}
	t.Para("If one of them is a column a log may have (\"pleatstat columns\" lists them), say --column NAME='ITS HEADER', or write it once into the settings.")
}

func ownNumbers(c *coverage.Coverage) []string {
	var out []string
	for _, o := range c.Own {
		if o.Numbers && o.Filled > 0 {
			out = append(out, o.Column)
		}
	}
	return out
}

// notYet writes the questions whose columns are all there but have too few entries.
func notYet(t *wording.Text, c *coverage.Coverage) {
	written := false
	for _, q := range c.Questions {
		if q.Answered || len(q.Without) > 0 {
			continue
		}
		if !written {
			t.Heading("Not yet")
			written = true
		}
		question, _ := asked(q.ID)
		text := wording.UpperFirst(question) + ": the parts differ too little."
		switch {
		case q.ID == "drift" && q.More > 0:
			text = fmt.Sprintf("%s of one maker's parts that were opened before would let me say %s.", wording.Counted(q.More, "more opening", "more openings"), question)
		case q.ID == "drift":
			text = "A part opened again at another date, and others after it, would let me say " + question + "."
		case q.Needed > q.Have:
			text = fmt.Sprintf("%d more with %s would let me say %s (%s now, %d needed).", q.Needed-q.Have, and(q.Columns), question, wording.Counted(q.Have, "part", "parts"), q.Needed)
		}
		t.Item(text)
	}
}

func and(columns []string) string {
	if len(columns) == 0 {
		return "a measure in common"
	}
	return wording.Joined(wording.ColumnNames(columns))
}

func oneMore(t *wording.Text, c *coverage.Coverage) {
	if len(c.OneMore) == 0 {
		return
	}
	t.Heading("What one column more would let it answer")
	for _, o := range c.OneMore {
		var would []string
		for _, id := range o.Questions {
			question, _ := asked(id)
			would = append(would, question)
		}
		t.Item(fmt.Sprintf("%s (%s): %s. %s the rest.", wording.UpperFirst(catalogue.Words(o.Column)), catalogue.Facts(o.Column).Meaning, strings.Join(would, "; "),
			wording.Counted(o.Rest, "part has", "parts have")))
	}
}

// firstFinding returns the first line of the short form that reports a finding or, if
// there is none, the part with the highest value of a measure, and its lines.
func firstFinding(c *coverage.Coverage, f *report.Findings) (sentence, evidence string) {
	if found := news(f); len(found) > 0 {
		return found[0], ""
	}
	m := c.Most
	if m == nil {
		return "None yet: no opening has a number.", ""
	}
	value := wording.Quantity(f.Units, m.Column, m.Value)
	if m.Products == 1 {
		return fmt.Sprintf("%s: %s %s.", wording.Name(m.Maker, m.Part), catalogue.Words(m.Column), value), wording.Lines(m.Lines)
	}
	most := "highest"
	if wording.Counts(m.Column) {
		most = "most"
	}
	return fmt.Sprintf("Of %d parts %s has the %s %s: %s.", m.Products, wording.Name(m.Maker, m.Part), most, catalogue.Words(m.Column), value), wording.Lines(m.Lines)
}

type startJSON struct {
	Schema    string             `json:"schema"`
	Log       logJSON            `json:"log"`
	Columns   []filledJSON       `json:"columns"`
	Own       []ownJSON          `json:"own_columns"`
	Questions []questionJSON     `json:"questions"`
	OneMore   []coverage.OneMore `json:"one_more"`
	Finding   findingJSON        `json:"first_finding"`
}

type findingJSON struct {
	Text     string `json:"text"`
	Evidence string `json:"evidence" null:"zero"`
}

type filledJSON struct {
	dataset.ReadColumn `without:"why"`
	Filled             int    `json:"filled"`
	Why                string `json:"why" null:"zero"`
}

type ownJSON struct {
	Header  string   `json:"header"`
	Filled  int      `json:"filled"`
	Numbers bool     `json:"numbers"`
	MayBe   []string `json:"may_be"`
	Why     string   `json:"why" null:"zero"`
}

type questionJSON struct {
	ID                string `json:"id"`
	Asked             string `json:"question"`
	Command           string `json:"command"`
	coverage.Question `without:"id"`
}

// StartJSON writes the same as JSON.
func StartJSON(w io.Writer, c *coverage.Coverage, f *report.Findings) error {
	out := startJSON{Schema: "pleatstat/start/1", Log: logOf(f), OneMore: c.OneMore}
	sentence, evidence := firstFinding(c, f)
	out.Finding = findingJSON{wording.Spaced(sentence), wording.Spaced(evidence)}
	for _, r := range c.Columns {
		out.Columns = append(out.Columns, filledJSON{r.ReadColumn, r.Filled, r.Why})
	}
	for _, o := range c.Own {
		out.Own = append(out.Own, ownJSON{o.Header, o.Filled, o.Numbers, o.MayBe, o.Why})
	}
	for _, q := range c.Questions {
		question, command := asked(q.ID)
		out.Questions = append(out.Questions, questionJSON{q.ID, question, command, q})
	}
	return encode.JSON(w, out)
}
