package render

import (
	"fmt"
	"math"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/check"
)

// changed tells which parts are not the same filter any more.
func changed(t *Text, c Checked) {
	if len(c.Result.Changes) == 0 {
		return
	}
	t.Heading("Not the same filter any more")
	for _, ch := range c.Result.Changes {
		name := Visible(ch.Maker) + " " + Visible(ch.Part)
		var words, values []string
		for _, m := range ch.Moved {
			words = append(words, dataset.Words(m.Column))
			values = append(values, fmt.Sprintf("%s %s, now %s", dataset.Words(m.Column), quantity(c.Units, m.Column, m.Before), quantity(c.Units, m.Column, m.After)))
		}
		said, since := fmt.Sprintf("From %s on %s is not the same filter any more: ", line(ch.Line), name), counted(ch.After, "opening since", "openings since")
		if ch.Alone {
			said, since = fmt.Sprintf("%s in %s is not the filter of its other openings: ", name, line(ch.Line)), "this one alone"
		}
		t.Item(said + joined(words) + " changed together.")
		t.Evidence(strings.Join(values, "; ") + "; " + counted(ch.Before, "opening before", "openings before") + ", " + since)
	}
	t.Para(aboutChange)
}

// calibration tells how the bench's can gauges lie against mass, size and
// material.
func calibration(t *Text, c Checked) {
	k := c.Result.Calibration
	if k.Cans < check.CalibrationCans {
		return
	}
	t.Heading("Micrometer against scale")
	const decimals = 2 // rim and dome alone move it by more
	said := "The micrometer agrees with what mass, size and material of the cans give"
	if fixed(k.Ratio, decimals) != "1.00" {
		less := "more"
		if k.Difference < 0 {
			less = "less"
		}
		said = fmt.Sprintf("The micrometer usually reads %s %s than mass, size and material of the cans give", quantity(c.Units, "can_gauge", math.Abs(k.Difference)), less)
	}
	t.Item(said + ".")
	t.Evidence(fmt.Sprintf("%s times, %s; %s", fixed(k.Ratio, decimals), range95(fixed(k.Low, decimals), fixed(k.High, decimals)), counted(k.Cans, "can", "cans")))
}
