package cards

import (
	"fmt"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/changes"
	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/stats/card"
	"pleatstat/stats/roundup"
	"pleatstat/stats/trend"
)

// MostBrief is the largest number of characters of the short form, which fits into a
// comment.
const MostBrief = 600

// briefCaution is the end of the short form.
const briefCaution = "This says how it is built, not how well it filters; for what fits, follow the equipment maker's list."

// BriefPart describes a part in at most five sentences, of MostBrief characters
// together.
func BriefPart(c *card.Part, u dataset.Units) string {
	v := c.Verdict
	v.Why = "" // a second sentence
	if v.Grade == trend.CannotSay {
		v.Why = c.Verdict.Why
	}
	opened := fmt.Sprintf("Opened here %s", timesInWords(len(c.Openings)))
	if last := c.Openings[len(c.Openings)-1].Opened; last != "" {
		opened += map[bool]string{true: ", in ", false: ", last in "}[len(c.Openings) == 1] + wording.SpokenMonth(last)
	}
	var news []string
	switch {
	case c.Another != nil:
		news = append(news, anotherSentence(*c.Another, u))
	case len(c.Changes) > 0:
		sentence, _, _ := changes.ForPart(c.Changes, c.Part, u)
		news = append(news, sentence)
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
	return brief(prices.Sentence(v, u), opened+".", news)
}

// BriefMaker describes a maker in the same length.
func BriefMaker(m *card.Maker, u dataset.Units) string {
	opened := fmt.Sprintf("%s: %s of %s here", wording.Short(m.Maker), wording.Counted(m.Openings, "opening", "openings"), wording.Counted(len(m.Parts), "part", "parts"))
	if n := len(m.Years); n > 0 && m.Years[0].Year != m.Years[n-1].Year {
		opened += fmt.Sprintf(", %d to %d", m.Years[0].Year, m.Years[n-1].Year)
	}
	var news []string
	if len(m.Changes) > 0 {
		news = append(news, changes.Sentence(changes.MadeBy(m.Maker, m.Changes)[0], u, true))
	}
	price := ""
	for _, l := range m.Levels {
		if sentence := levelSentence(l, u); l.Table == roundup.MakersByContents {
			price = sentence
		} else if l.Side != 0 {
			news = append(news, sentence)
		}
	}
	return brief(opened+".", price, news)
}

// brief joins sentences, with as many of the news as there is room for.
func brief(first, second string, news []string) string {
	const most = 5
	phrases := []string{first, second}
	room := MostBrief - len([]rune(strings.Join([]string{first, second, briefCaution}, " ")))
	for _, s := range news {
		if n := len([]rune(s)) + 1; len(phrases) < most-1 && n <= room {
			phrases, room = append(phrases, s), room-n
		}
	}
	return wording.Spaced(wording.Visible(strings.Join(append(phrases, briefCaution), " ")))
}

// timesInWords returns how often something was done, in words.
func timesInWords(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return wording.Spelt(n) + " times"
}
