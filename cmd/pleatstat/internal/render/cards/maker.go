package cards

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/changes"
	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/stats/card"
	"pleatstat/stats/roundup"
	"pleatstat/stats/trend"
)

// Maker writes all there is to report of one maker.
func Maker(t *wording.Text, m *card.Maker, moneyOf float64, u dataset.Units) {
	t.Heading(wording.Short(m.Maker) + ": " + wording.Counted(m.Openings, "opening", "openings") + " of " + wording.Counted(len(m.Parts), "part", "parts"))
	t.Para(openedWhen(m))
	t.Para(prices.MoneySentence(moneyOf))
	makersParts(t, m, u)
	makerLevels(t, m, u)
	makerChanges(t, m, u)
	wording.PriceCaution(t)
}

// openedWhen states how many filters were opened in which year.
func openedWhen(m *card.Maker) string {
	var years []string
	for _, y := range m.Years {
		years = append(years, fmt.Sprintf("%d in%s%d", y.Openings, wording.NBSP, y.Year))
	}
	if m.Undated > 0 {
		years = append(years, fmt.Sprintf("%d without a date", m.Undated))
	}
	return "Opened here: " + wording.Joined(years) + "."
}

func makersParts(t *wording.Text, m *card.Maker, u dataset.Units) {
	head := "Its parts"
	if slices.ContainsFunc(m.Parts, func(p card.MakersPart) bool { return p.Verdict.Grade != trend.CannotSay }) {
		head += ", the dearest for their contents first"
	}
	t.Heading(head)
	row := func(part, n, last, price, usual, grade string) {
		t.Line("  " + wording.Pad(wording.Clip(part, 20), 20) + wording.PadLeft(n, 9) + wording.PadLeft(last, 12) + wording.PadLeft(price, 9) + wording.PadLeft(usual, 9) + "  " + grade)
	}
	row("part", "openings", "last", "price", "usual", "grade")
	for _, p := range m.Parts {
		row(p.Part, strconv.Itoa(p.Openings), p.Last, u.Format("price", p.Verdict.Price), u.Format("price", p.Verdict.Fair), mountGrade(p.Verdict))
	}
}

// levelWords are the words for a maker's level: its subject, and where it lies.
var levelWords = map[string]struct{ subject, above, below, same string }{
	roundup.MakersByContents: {"Its prices", "are clearly above what the contents usually cost", "are clearly below what the contents usually cost", "are about what the contents usually cost"},
	roundup.MakersCanGauge:   {"Its cans", "are clearly thicker than others of their size", "are clearly thinner than others of their size", "are about as thick as others of their size"},
	roundup.MakersPleats:     {"Its elements", "clearly have more pleats than others of their width", "clearly have fewer pleats than others of their width", "have about as many pleats as others of their width"},
	roundup.MakersMedia:      {"Its filters", "clearly have more media than others with a can of their size", "clearly have less media than others with a can of their size", "have about as much media as others with a can of their size"},
}

// makerLevels writes where a maker lies against the others.
func makerLevels(t *wording.Text, m *card.Maker, u dataset.Units) {
	t.Heading("Against the other makers")
	if !slices.ContainsFunc(m.Levels, func(l card.Level) bool { return l.Needed == "" }) {
		t.Para("It can't be compared with other makers yet: too few.")
		var needs []string
		for _, l := range m.Levels {
			needs = append(needs, levelWords[l.Table].subject[len("Its "):]+": "+l.Needed)
		}
		t.Evidence("it takes, for " + strings.Join(needs, "; "))
		return
	}
	for _, l := range m.Levels {
		t.Para(levelSentence(l, u))
		if l.Needed == "" {
			t.Evidence(levelShown(l, u, l.Low) + " to " + levelShown(l, u, l.High) + "; " + wording.Counted(l.Parts, "part", "parts"))
		}
	}
}

func levelSentence(l card.Level, u dataset.Units) string {
	w := levelWords[l.Table]
	switch {
	case l.Needed != "":
		return w.subject + " can't be compared with those of other makers: too few; it takes " + l.Needed + "."
	case l.Side > 0:
		return w.subject + " " + w.above + ", by about " + strings.TrimLeft(levelShown(l, u, l.Level), "+−") + "."
	case l.Side < 0:
		return w.subject + " " + w.below + ", by about " + strings.TrimLeft(levelShown(l, u, l.Level), "+−") + "."
	}
	if l.Low > 0 || l.High < 0 { // its range excludes zero, but not once corrected for all makers and tables
		return "A hint only: " + strings.ToLower(w.subject[:1]) + w.subject[1:] + " " + strings.Replace(map[bool]string{true: w.above, false: w.below}[l.Low > 0], "clearly ", "", 1) + "."
	}
	return w.subject + " " + w.same + "."
}

// levelShown returns a difference from what is predicted, with its sign.
func levelShown(l card.Level, u dataset.Units, v float64) string {
	text := wording.Percent(math.Abs(v))
	if !l.Relative {
		text = wording.Signless(u, l.Measure, v, (l.High-l.Low)/2)
	}
	if !(math.Abs(v) > 0) {
		return text
	}
	return wording.Signed(v, text)
}

func makerChanges(t *wording.Text, m *card.Maker, u dataset.Units) {
	if changes.OverTheYears(t, m.Changes, u, false) {
		return
	}
	t.Heading(changes.Title)
	switch {
	case m.Judged == 0:
		t.Para("It can't be told: none of its parts was opened often enough at different dates.")
	default:
		t.Para(fmt.Sprintf("No change shown in the %s followed.", wording.Counted(m.Judged, "measure", "measures")))
	}
}
