package render

import (
	"fmt"
	"io"
	"slices"
	"strconv"

	"pleatstat/dataset"
	"pleatstat/stats/changepoint"
	"pleatstat/stats/check"
	"pleatstat/stats/trend"
)

// Repeat says how well readings of one column repeat.
type Repeat struct {
	Column string `json:"column"`
	dataset.Repeatability
}

// Checked is the result of a check with what it was run on.
type Checked struct {
	File    string
	Rows    int
	Columns dataset.ColumnsRead
	Units   dataset.Units
	Notices []string // to be said before anything else
	Result  *check.Result
	LineOf  func(row int) int // of the log's file
	Repeats []Repeat
	Copy    string             // file of the copy that was asked for, "" = none
	Fixed   []check.Suggestion // carried out in it
}

// Check writes what is wrong with a log, every entry, worst first.
func Check(t *Text, c Checked) {
	ColumnsRead(t, c.Columns)
	t.Notices(c.Notices)
	t.Heading(fileName(c.File) + ": " + counted(c.Rows, "opening", "openings"))
	t.Para(problemCount(c.Result.Problems))
	for _, s := range []struct {
		severity dataset.Severity
		title    string
	}{
		{dataset.Unusable, "Cannot be used (the entry counts as blank)"},
		{dataset.Doubtful, "Doubtful (measure again)"},
		{dataset.Note, "Notes"},
	} {
		found := bySeverity(c.Result.Problems, s.severity)
		if len(found) == 0 {
			continue
		}
		t.Heading(s.title)
		for _, p := range found {
			t.problem(p)
		}
	}
	suggestions(t, c.Result.Suggestions)
	setAside(t, c)
	changed(t, c)
	calibration(t, c)
	repeats(t, c)
	fixedCopy(t, c)
}

func fixedCopy(t *Text, c Checked) {
	if c.Copy == "" {
		return
	}
	t.Heading("The copy")
	if len(c.Fixed) == 0 {
		t.Para("Written to " + Visible(c.Copy) + ", with nothing changed.")
		return
	}
	t.Para("Written to " + Visible(c.Copy) + ", with " + counted(len(c.Fixed), "entry", "entries") + " changed:")
	for _, s := range c.Fixed {
		t.Item(fmt.Sprintf("Line%s%d, %s: from %s to %s (%s).", nbsp, s.Line, short(trend.Words(s.Name)), quoted(s.Found), quoted(s.Intended), s.Kind))
	}
}

func suggestions(t *Text, all []check.Suggestion) {
	if len(all) == 0 {
		return
	}
	t.Heading("What was probably meant")
	for _, s := range all {
		sure := "a guess"
		if s.Sure {
			sure = "no other explanation comes near"
		}
		t.Item(fmt.Sprintf("Line%s%d, %s: %s instead of %s (%s).", nbsp, s.Line, short(trend.Words(s.Name)),
			quoted(s.Intended), quoted(s.Found), sure))
	}
}

// setAside counts the readings left out, with their lines: one doubt may be of
// two readings. Dates that cannot be are told at the top.
func setAside(t *Text, c Checked) {
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
			s += " (" + spelt(n) + " of them)"
		}
		each, i = append(each, s), i+n
	}
	t.Heading("Left out")
	t.Para(counted(len(at), "reading is", "readings are") + " physically impossible: nothing is judged by " + plural(len(at), "it", "them") +
		". " + plural(len(at), "It stands", "They stand") + " in " + plural(len(each), "line", "lines") + nbsp + joined(cut(each, maxListed)) + ".")
}

func repeats(t *Text, c Checked) {
	if len(c.Repeats) == 0 {
		return
	}
	t.Heading("How well the bench repeats itself")
	for _, r := range c.Repeats {
		t.Item(fmt.Sprintf("Your %s readings repeat to %s.", trend.Words(r.Column), signless(c.Units, r.Column, r.SD, r.SD)))
		t.evidence(fmt.Sprintf("standard deviation; %s in %s", counted(r.Readings, "reading", "readings"), counted(r.Cells, "entry", "entries")))
	}
}

// CheckJSON writes the same for programs, in base units.
func CheckJSON(w io.Writer, c Checked) error {
	return writeJSON(w, struct {
		Schema        string               `json:"schema"`
		Log           readLogJSON          `json:"log"`
		Problems      []dataset.Problem    `json:"problems"`
		Suggestions   []check.Suggestion   `json:"suggestions"`
		SetAside      []dataset.CellRef    `json:"set_aside"`
		Repeatability []Repeat             `json:"repeatability"`
		Fixed         []check.Suggestion   `json:"fixed"`
		Doubted       []dataset.CellRef    `json:"doubted"`
		Changes       []changepoint.Change `json:"changes"`
		Calibration   check.Calibration    `json:"calibration"`
	}{
		Schema: "pleatstat/check/1", Log: readLogJSON{c.File, c.Rows, c.Units.System(), c.Columns},
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
	return writeCSV(w, []string{"file", "line", "column", "name", "found", "intended", "kind", "sure", "why"}, rows)
}
