package price

import (
	"cmp"
	"fmt"
	"math"
	"pleatstat/dataset/catalogue"
	"slices"
	"strings"
)

// mostReasons is the largest number of contents named as reasons, and worthNaming
// the least effect on log price for a content to be named.
const (
	mostReasons = 3
	worthNaming = 0.02
)

// noEffect is the effect on log price, per standard deviation of a content, below
// which it is rounding error.
const noEffect = 1e-6

// why explains the difference between the verdict by contents and that by media
// area alone; "" where both put the price on the same side of their ranges.
func (j Judgement) why() string {
	area, inside := j.ByArea.Side(), j.ByInside.Side()
	if area == inside || math.IsNaN(j.ByArea.Expected) {
		return ""
	}
	where := map[int]string{1: "dear", 0: "as expected", -1: "cheap"}
	reasons := j.reasons(j.Fair > j.ByArea.Expected)
	switch {
	case inside == 0 && reasons != "" && area > 0 == (j.Fair > j.ByArea.Expected):
		return fmt.Sprintf("%s for its media area; %s", where[area], explains(reasons))
	case inside == 0:
		return where[area] + " for its media area, though not by everything inside, which is the wider range"
	case reasons != "" && inside > 0 == (j.Fair < j.ByArea.Expected):
		return fmt.Sprintf("%s for its media area; parts with %s usually cost %s", where[area], reasons, map[bool]string{true: "less", false: "more"}[inside > 0])
	}
	return where[area] + " by media area alone, which tells less exactly what is usual"
}

func explains(reasons string) string {
	verb := "explains"
	if strings.Contains(reasons, " and ") {
		verb = "explain"
	}
	return "its " + reasons + " " + verb + " that"
}

// reasons names the contents that move the usual price up (or down), strongest
// first.
func (j Judgement) reasons(up bool) string {
	var found []Contribution
	for _, c := range j.Contributions {
		if c.Content != "media_area" && c.Factor > 1 == up && math.Abs(math.Log(c.Factor)) >= worthNaming {
			found = append(found, c)
		}
	}
	slices.SortStableFunc(found, func(a, b Contribution) int {
		return cmp.Compare(math.Abs(math.Log(b.Factor)), math.Abs(math.Log(a.Factor)))
	})
	var names []string
	for _, c := range found[:min(mostReasons, len(found))] {
		names = append(names, c.reason())
	}
	if last := len(names) - 1; last > 0 {
		return strings.Join(names[:last], ", ") + " and " + names[last]
	}
	return strings.Join(names, "")
}

// reason describes a content as a property of the part: synthetic media, a thin
// can.
func (c Contribution) reason() string {
	up := c.Factor > 1
	of := func(more, less string) string {
		if up {
			return more
		}
		return less
	}
	switch c.Content {
	case canGauge, canMassPerArea:
		return of("thick can", "thin can")
	case massWithoutCan, totalMass:
		return of("high mass", "low mass")
	case claimed:
		return of("high claimed efficiency", "low claimed efficiency")
	case mediaType:
		return c.Value + " media"
	case drainBack:
		if c.Value == without {
			return "lack of a drain-back valve"
		}
		return c.Value + " drain-back valve"
	case magnet:
		if c.Value == "yes" {
			return "magnet"
		}
		return "lack of a magnet"
	}
	return catalogue.Words(c.Content)
}

// unexpected warns of contents that lower the price in this log although they
// mean more inside.
func (m *Model) unexpected() []string {
	var out []string
	if m.whole.AreaLowers() {
		out = append(out, "in this log more media area clearly goes with a lower price; it is judged so")
	}
	first := 2 + m.time.Len()
	for c, col := range m.coding.columns[:m.coding.contents] {
		if float64(col.more)*m.whole.Coef()[first+c] >= -noEffect {
			continue
		}
		what := "more " + say(col.content)
		switch {
		case col.word >= 0 && col.more > 0:
			what = "a " + say(col.content) + " (" + col.level + ")"
		case col.word >= 0:
			what = "a " + say(col.content)
		}
		out = append(out, "in this log "+what+" clearly goes with a lower price; it is judged so")
	}
	return out
}
