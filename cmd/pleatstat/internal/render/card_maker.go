package render

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/card"
	"pleatstat/stats/roundup"
	"pleatstat/stats/trend"
)

// Maker writes everything told of one maker.
func Maker(t *Text, m *card.Maker, moneyOf float64, u dataset.Units) {
	t.Heading(short(m.Maker) + ": " + counted(m.Openings, "opening", "openings") + " of " + counted(len(m.Parts), "part", "parts"))
	t.Para(openedWhen(m))
	if s := moneySentence(moneyOf); s != "" {
		t.Para(s)
	}
	makersParts(t, m, u)
	makerLevels(t, m, u)
	makerChanges(t, m, u)
	PriceCaution(t)
}

// openedWhen says how many were opened in which year.
func openedWhen(m *card.Maker) string {
	var years []string
	for _, y := range m.Years {
		years = append(years, fmt.Sprintf("%d in%s%d", y.Openings, nbsp, y.Year))
	}
	if m.Undated > 0 {
		years = append(years, fmt.Sprintf("%d without a date", m.Undated))
	}
	return "Opened here: " + joined(years) + "."
}

func makersParts(t *Text, m *card.Maker, u dataset.Units) {
	head := "Its parts"
	if slices.ContainsFunc(m.Parts, func(p card.MakersPart) bool { return p.Verdict.Grade != trend.CannotSay }) {
		head += ", the dearest for their contents first"
	}
	t.Heading(head)
	row := func(part, n, last, price, usual, grade string) {
		t.Line("  " + pad(cutName(part, 20), 20) + padLeft(n, 9) + padLeft(last, 12) + padLeft(price, 9) + padLeft(usual, 9) + "  " + grade)
	}
	row("part", "openings", "last", "price", "usual", "grade")
	for _, p := range m.Parts {
		row(p.Part, strconv.Itoa(p.Openings), p.Last, u.Format("price", p.Verdict.Price), u.Format("price", p.Verdict.Fair), mountGrade(p.Verdict))
	}
}

// levelWords are how a level is said: of what, and where it lies.
var levelWords = map[string]struct{ subject, above, below, same string }{
	roundup.MakersByContents: {"Its prices", "are clearly above what the contents usually cost", "are clearly below what the contents usually cost", "are about what the contents usually cost"},
	roundup.MakersCanGauge:   {"Its cans", "are clearly thicker than others of their size", "are clearly thinner than others of their size", "are about as thick as others of their size"},
	roundup.MakersPleats:     {"Its elements", "clearly have more pleats than others of their width", "clearly have fewer pleats than others of their width", "have about as many pleats as others of their width"},
	roundup.MakersMedia:      {"Its filters", "clearly have more media than others with a can of their size", "clearly have less media than others with a can of their size", "have about as much media as others with a can of their size"},
}

// makerLevels says where a maker lies against the others.
func makerLevels(t *Text, m *card.Maker, u dataset.Units) {
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
		t.Para(levelSaid(l, u))
		if l.Needed == "" {
			t.Evidence(levelShown(l, u, l.Low) + " to " + levelShown(l, u, l.High) + "; " + counted(l.Parts, "part", "parts"))
		}
	}
}

func levelSaid(l card.Level, u dataset.Units) string {
	w := levelWords[l.Table]
	switch {
	case l.Needed != "":
		return w.subject + " can't be compared with those of other makers: too few; it takes " + l.Needed + "."
	case l.Side > 0:
		return w.subject + " " + w.above + ", by about " + strings.TrimLeft(levelShown(l, u, l.Level), "+−") + "."
	case l.Side < 0:
		return w.subject + " " + w.below + ", by about " + strings.TrimLeft(levelShown(l, u, l.Level), "+−") + "."
	}
	if l.Low > 0 || l.High < 0 { // outside the range, but not once all makers and tables are counted in
		return "A hint only: " + strings.ToLower(w.subject[:1]) + w.subject[1:] + " " + strings.Replace(map[bool]string{true: w.above, false: w.below}[l.Low > 0], "clearly ", "", 1) + "."
	}
	return w.subject + " " + w.same + "."
}

// levelShown is a difference from what is predicted, with its sign.
func levelShown(l card.Level, u dataset.Units, v float64) string {
	text := percent(math.Abs(v))
	if !l.Relative {
		text = signless(u, l.Measure, v, (l.High-l.Low)/2)
	}
	switch {
	case v > 0:
		return "+" + text
	case v < 0:
		return "−" + text
	}
	return text
}

func makerChanges(t *Text, m *card.Maker, u dataset.Units) {
	if overTheYears(t, m.Changes, u, false) {
		return
	}
	t.Heading(overYears)
	switch {
	case m.Judged == 0:
		t.Para("It can't be told: none of its parts was opened often enough at different dates.")
	default:
		t.Para(fmt.Sprintf("No change shown in the %s followed.", counted(m.Judged, "measure", "measures")))
	}
}

// MostBrief is the number of characters of the short form: what fits a comment.
const MostBrief = 600

// briefCaution ends the short form.
const briefCaution = "This says how it is built, not how well it filters; for what fits, follow the equipment maker's list."

// BriefCard is a part in at most five sentences of MostBrief characters together.
func BriefCard(c *card.Part, u dataset.Units) string {
	v := c.Verdict
	v.Why = "" // a second sentence
	if v.Grade == trend.CannotSay {
		v.Why = c.Verdict.Why
	}
	opened := fmt.Sprintf("Opened here %s", timesSaid(len(c.Openings)))
	if last := c.Openings[len(c.Openings)-1].Opened; last != "" {
		opened += map[bool]string{true: ", in ", false: ", last in "}[len(c.Openings) == 1] + spokenMonth(last)
	}
	var news []string
	switch {
	case c.Another != nil:
		news = append(news, anotherSentence(*c.Another, u))
	case len(c.Changes) > 0:
		said, _, _ := changeForPart(c.Changes, c.Part, u)
		news = append(news, said)
	}
	for _, p := range c.Places {
		if p.Ranking == roundup.BestValue && p.Thread == "" {
			place := fmt.Sprintf("In media for the money it is number %d of %d parts.", p.Rank, p.Of)
			if p.Low > 0 && p.Low != p.High {
				place = fmt.Sprintf("In media for the money it is number %d of %d parts (%d to %d are open).", p.Rank, p.Of, p.Low, p.High)
			}
			news = append(news, place)
		}
	}
	return brief(VerdictSentence(v, u), opened+".", news)
}

// BriefMaker is a maker in as few words.
func BriefMaker(m *card.Maker, u dataset.Units) string {
	opened := fmt.Sprintf("%s: %s of %s here", short(m.Maker), counted(m.Openings, "opening", "openings"), counted(len(m.Parts), "part", "parts"))
	if n := len(m.Years); n > 0 && m.Years[0].Year != m.Years[n-1].Year {
		opened += fmt.Sprintf(", %d to %d", m.Years[0].Year, m.Years[n-1].Year)
	}
	var news []string
	if len(m.Changes) > 0 {
		news = append(news, changeSentence(madeBy(m.Maker, m.Changes)[0], u, true))
	}
	price := ""
	for _, l := range m.Levels {
		if said := levelSaid(l, u); l.Table == roundup.MakersByContents {
			price = said
		} else if l.Side != 0 {
			news = append(news, said)
		}
	}
	return brief(opened+".", price, news)
}

// brief puts sentences together, as many of the news as there is room for.
func brief(first, second string, news []string) string {
	const most = 5
	said := []string{first, second}
	room := MostBrief - len([]rune(strings.Join([]string{first, second, briefCaution}, " ")))
	for _, s := range news {
		if n := len([]rune(s)) + 1; len(said) < most-1 && n <= room {
			said, room = append(said, s), room-n
		}
	}
	return spaced(Visible(strings.Join(append(said, briefCaution), " ")))
}

// timesSaid is how often something was done.
func timesSaid(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return spelt(n) + " times"
}
