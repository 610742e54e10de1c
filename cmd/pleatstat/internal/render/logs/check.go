// Package logs puts into words what concerns a log itself: which columns it may have,
// how its columns were read, and what stats/check found wrong in it.
package logs

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/changepoint"
	"pleatstat/stats/check"
)

// Repeat is how well readings of one column repeat.
type Repeat struct {
	Column string `json:"column"`
	dataset.Repeatability
}

// Checked is the result of a check and what it was run on.
type Checked struct {
	File    string
	Rows    int
	Columns dataset.ColumnsRead
	Units   dataset.Units
	Notices []string // shown before anything else
	Result  *check.Result
	LineOf  func(row int) int // line of the log's file
	Repeats []Repeat
	Copy    string             // file of the copy that was asked for, "" = none
	Fixed   []check.Suggestion // made in that copy
}

// Check writes the result of a check: the problems, worst first, then what was probably
// meant, what was left out, which parts changed, how micrometer and scale agree, how
// well readings repeat, and what the copy changed.
func Check(t *wording.Text, c Checked) {
	ColumnsRead(t, c.Columns)
	t.Notices(c.Notices)
	t.Heading(wording.FileName(c.File) + ": " + wording.Counted(c.Rows, "opening", "openings"))
	t.Para(problemCount(c.Result.Problems))
	for _, s := range []struct {
		severity dataset.Severity
		title    string
	}{
		{dataset.Unusable, "Cannot be used (the entry counts as blank)"},
		{dataset.Doubtful, "Doubtful (measure again)"},
		{dataset.Note, "Notes"},
	} {
		found := BySeverity(c.Result.Problems, s.severity)
		if len(found) == 0 {
			continue
		}
		t.Heading(s.title)
		for _, p := range found {
			t.Item(ProblemSentence(p))
		}
	}
	suggestions(t, c.Result.Suggestions)
	setAside(t, c)
	changed(t, c)
	calibration(t, c)
	repeats(t, c)
	fixedCopy(t, c)
}

func fixedCopy(t *wording.Text, c Checked) {
	if c.Copy == "" {
		return
	}
	t.Heading("The copy")
	if len(c.Fixed) == 0 {
		t.Para("Written to " + wording.Visible(c.Copy) + ", with nothing changed.")
		return
	}
	t.Para("Written to " + wording.Visible(c.Copy) + ", with " + wording.Counted(len(c.Fixed), "entry", "entries") + " changed:")
	for _, s := range c.Fixed {
		t.Item(fmt.Sprintf("%s, %s: from %s to %s (%s).", wording.UpperFirst(wording.Line(s.Line)), wording.Short(catalogue.Words(s.Name)), wording.Quoted(s.Found), wording.Quoted(s.Intended), s.Kind))
	}
}

func suggestions(t *wording.Text, all []check.Suggestion) {
	if len(all) == 0 {
		return
	}
	t.Heading("What was probably meant")
	for _, s := range all {
		sure := "a guess"
		if s.Sure {
			sure = "no other explanation comes near"
		}
		t.Item(fmt.Sprintf("%s, %s: %s instead of %s (%s).", wording.UpperFirst(wording.Line(s.Line)), wording.Short(catalogue.Words(s.Name)),
			wording.Quoted(s.Intended), wording.Quoted(s.Found), sure))
	}
}

// setAside states how many readings were left out, and their lines: one problem may
// concern two readings. Impossible dates are reported at the top instead.
func setAside(t *wording.Text, c Checked) {
	var at []int
	for _, cell := range c.Result.SetAside {
		if cell.Column != "opened" {
			at = append(at, c.LineOf(cell.Row))
		}
	}
	if len(at) == 0 {
		return
	}
	slices.Sort(at)
	var each []string
	for i := 0; i < len(at); {
		n := 1
		for i+n < len(at) && at[i+n] == at[i] {
			n++
		}
		s := strconv.Itoa(at[i])
		if n > 1 {
			s += " (" + wording.Spelt(n) + " of them)"
		}
		each, i = append(each, s), i+n
	}
	t.Heading("Left out")
	t.Para(wording.Counted(len(at), "reading is", "readings are") + " physically impossible: nothing is judged by " + wording.Plural(len(at), "it", "them") +
		". " + wording.Plural(len(at), "It stands", "They stand") + " in " + wording.Plural(len(each), "line", "lines") + wording.NBSP + wording.Joined(wording.Cut(each, wording.MaxListed)) + ".")
}

func repeats(t *wording.Text, c Checked) {
	if len(c.Repeats) == 0 {
		return
	}
	t.Heading("How well the bench repeats itself")
	for _, r := range c.Repeats {
		t.Item(fmt.Sprintf("Your %s readings repeat to %s.", catalogue.Words(r.Column), wording.Signless(c.Units, r.Column, r.SD, r.SD)))
		t.Evidence(fmt.Sprintf("standard deviation; %s in %s", wording.Counted(r.Readings, "reading", "readings"), wording.Counted(r.Cells, "entry", "entries")))
	}
}

// CheckJSON writes the result of a check as JSON, in base units.
func CheckJSON(w io.Writer, c Checked) error {
	return encode.JSON(w, struct {
		Schema        string               `json:"schema"`
		Log           encode.Log           `json:"log"`
		Problems      []dataset.Problem    `json:"problems"`
		Suggestions   []check.Suggestion   `json:"suggestions"`
		SetAside      []dataset.CellRef    `json:"set_aside"`
		Repeatability []Repeat             `json:"repeatability"`
		Fixed         []check.Suggestion   `json:"fixed"`
		Doubted       []dataset.CellRef    `json:"doubted"`
		Changes       []changepoint.Change `json:"changes"`
		Calibration   check.Calibration    `json:"calibration"`
	}{
		Schema: "pleatstat/check/1", Log: encode.Log{File: c.File, Rows: c.Rows, Units: c.Units.System(), ColumnsRead: c.Columns},
		Problems: c.Result.Problems, Suggestions: c.Result.Suggestions, SetAside: c.Result.SetAside, Repeatability: c.Repeats,
		Fixed: c.Fixed, Doubted: c.Result.Doubted, Changes: c.Result.Changes, Calibration: c.Result.Calibration,
	})
}

// SuggestionsCSV writes the suggestions as a table.
func SuggestionsCSV(w io.Writer, all []check.Suggestion) error {
	rows := make([][]string, 0, len(all))
	for _, s := range all {
		rows = append(rows, []string{s.File, strconv.Itoa(s.Line), strconv.Itoa(s.Column), s.Name, s.Found, s.Intended,
			string(s.Kind), strconv.FormatBool(s.Sure), s.Why})
	}
	return encode.CSV(w, []string{"file", "line", "column", "name", "found", "intended", "kind", "sure", "why"}, rows)
}

// changed writes which parts are no longer the same filter.
func changed(t *wording.Text, c Checked) {
	if len(c.Result.Changes) == 0 {
		return
	}
	t.Heading("Not the same filter any more")
	for _, ch := range c.Result.Changes {
		name := wording.Visible(ch.Maker) + " " + wording.Visible(ch.Part)
		var words, values []string
		for _, m := range ch.Moved {
			words = append(words, catalogue.Words(m.Column))
			values = append(values, fmt.Sprintf("%s %s, now %s", catalogue.Words(m.Column), wording.Quantity(c.Units, m.Column, m.Before), wording.Quantity(c.Units, m.Column, m.After)))
		}
		sentence, since := fmt.Sprintf("From %s on %s is not the same filter any more: ", wording.Line(ch.Line), name), wording.Counted(ch.After, "opening since", "openings since")
		if ch.Alone {
			sentence, since = fmt.Sprintf("%s in %s is not the filter of its other openings: ", name, wording.Line(ch.Line)), "this one alone"
		}
		t.Item(sentence + wording.Joined(words) + " changed together.")
		t.Evidence(strings.Join(values, "; ") + "; " + wording.Counted(ch.Before, "opening before", "openings before") + ", " + since)
	}
	t.Para(wording.AboutChange)
}

// calibration writes how the can gauges measured compare with those that mass, size and
// material of the cans imply.
func calibration(t *wording.Text, c Checked) {
	k := c.Result.Calibration
	if k.Cans < check.CalibrationCans {
		return
	}
	t.Heading("Micrometer against scale")
	const decimals = 2 // more would say nothing: rim and dome alone change the ratio by more
	sentence := "The micrometer agrees with what mass, size and material of the cans give"
	if wording.Fixed(k.Ratio, decimals) != "1.00" {
		less := "more"
		if k.Difference < 0 {
			less = "less"
		}
		sentence = fmt.Sprintf("The micrometer usually reads %s %s than mass, size and material of the cans give", wording.Quantity(c.Units, "can_gauge", math.Abs(k.Difference)), less)
	}
	t.Item(sentence + ".")
	t.Evidence(fmt.Sprintf("%s times, %s; %s", wording.Fixed(k.Ratio, decimals), wording.Range95(wording.Fixed(k.Low, decimals), wording.Fixed(k.High, decimals)), wording.Counted(k.Cans, "can", "cans")))
}
