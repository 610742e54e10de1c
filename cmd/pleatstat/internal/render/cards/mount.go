package cards

import (
	"fmt"
	"math"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/stats/card"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// mountCaution accompanies every list of parts with the same mount.
const mountCaution = "The same mount does not make it a replacement: bypass setting, drain-back valve and flow are the equipment maker's to specify, and its list decides."

// mostOfMount is how many parts are listed; the JSON has all.
const mostOfMount = 15

// sameMount writes the parts that take the same mount as a part, most media for the
// money first.
func sameMount(t *wording.Text, m card.Mount, u dataset.Units) {
	if m.Thread == "" {
		t.Heading("What takes the same mount")
		t.Para("Its thread is not recorded, so it can't be said what takes the same mount.")
		return
	}
	t.Heading("What takes the same mount, " + shownThread(m.Thread))
	if len(m.Parts) < 2 {
		t.Para("No other part of the log has this mount" + leftOutOfMount(m, u) + ".")
		return
	}
	t.Para(mountCaution)
	t.Para("Most media for the money first.")
	per := strings.TrimSpace(u.Of("media_area").Symbol + " for " + oneOfMoney(u))
	row := func(name, area, money, gauge, grade string) {
		t.Line("  " + wording.Pad(wording.Clip(name, 24), 24) + wording.PadLeft(area, 11) + wording.PadLeft(money, 12) + wording.PadLeft(gauge, 9) + "  " + grade)
	}
	row("part", "media area", per, "gauge", "price")
	for i, s := range m.Parts {
		if i >= mostOfMount && !s.Itself {
			continue
		}
		name := wording.Name(s.Maker, s.Part)
		if s.Itself {
			name = "> " + name
		}
		money := "–"
		if !math.IsNaN(s.AreaPerMoney) {
			money = wording.Fixed(s.AreaPerMoney*u.Of("media_area").PerBase, 1)
		}
		row(name, u.Format("media_area", s.MediaArea), money, u.Format("can_gauge", s.Gauge), mountGrade(s.Verdict))
	}
	if more := len(m.Parts) - mostOfMount; more > 0 {
		t.Para(fmt.Sprintf("Of %s with this mount the first %d are shown; the JSON has all.", wording.Counted(len(m.Parts), "part", "parts"), mostOfMount))
	}
	if leftOut := leftOutOfMount(m, u); leftOut != "" {
		t.Para("Left out" + leftOut + ".")
	}
	if m.NoGasket > 0 {
		t.Para(fmt.Sprintf("Of %s the gasket could not be compared.", wording.Counted(m.NoGasket, "part", "parts")))
	}
}

// mountGrade returns a grade short enough for a table.
func mountGrade(v price.Verdict) string {
	if v.Grade == trend.CannotSay {
		return "can't say"
	}
	return prices.ShortGrade(v)
}

// oneOfMoney returns one unit of the log's currency: "£1", "1 CHF", "1" if it has no
// currency.
func oneOfMoney(u dataset.Units) string {
	return strings.Replace(u.Format("price", 1), "1.00", "1", 1)
}

// leftOutOfMount states how many parts with the same thread are not listed, and why.
func leftOutOfMount(m card.Mount, u dataset.Units) string {
	var phrases []string
	if m.Gaskets > 0 {
		phrases = append(phrases, wording.Counted(m.Gaskets, "part", "parts")+" with another gasket")
	}
	if m.TooLarge > 0 {
		phrases = append(phrases, wording.Counted(m.TooLarge, "part", "parts")+" too large for the room"+roomWords(*m.Room, u))
	}
	if m.NoSize > 0 {
		phrases = append(phrases, wording.Counted(m.NoSize, "part", "parts")+" whose size is not recorded")
	}
	if len(phrases) == 0 {
		return ""
	}
	return ": " + wording.Joined(phrases)
}

func roomWords(r card.Room, u dataset.Units) string {
	var phrases []string
	if r.Width > 0 {
		phrases = append(phrases, wording.Quantity(u, "can_od", r.Width)+" wide")
	}
	if r.Height > 0 {
		phrases = append(phrases, wording.Quantity(u, "can_height", r.Height)+" tall")
	}
	return " (" + wording.Joined(phrases) + ")"
}
