package logs

import (
	"fmt"
	"math"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/stats/check"
)

// changed tells which parts are not the same filter any more.
func changed(t *wording.Text, c Checked) {
	if len(c.Result.Changes) == 0 {
		return
	}
	t.Heading("Not the same filter any more")
	for _, ch := range c.Result.Changes {
		name := wording.Visible(ch.Maker) + " " + wording.Visible(ch.Part)
		var words, values []string
		for _, m := range ch.Moved {
			words = append(words, dataset.Words(m.Column))
			values = append(values, fmt.Sprintf("%s %s, now %s", dataset.Words(m.Column), wording.Quantity(c.Units, m.Column, m.Before), wording.Quantity(c.Units, m.Column, m.After)))
		}
		said, since := fmt.Sprintf("From %s on %s is not the same filter any more: ", wording.Line(ch.Line), name), wording.Counted(ch.After, "opening since", "openings since")
		if ch.Alone {
			said, since = fmt.Sprintf("%s in %s is not the filter of its other openings: ", name, wording.Line(ch.Line)), "this one alone"
		}
		t.Item(said + wording.Joined(words) + " changed together.")
		t.Evidence(strings.Join(values, "; ") + "; " + wording.Counted(ch.Before, "opening before", "openings before") + ", " + since)
	}
	t.Para(wording.AboutChange)
}

// calibration tells how the bench's can gauges lie against mass, size and
// material.
func calibration(t *wording.Text, c Checked) {
	k := c.Result.Calibration
	if k.Cans < check.CalibrationCans {
		return
	}
	t.Heading("Micrometer against scale")
	const decimals = 2 // rim and dome alone move it by more
	said := "The micrometer agrees with what mass, size and material of the cans give"
	if wording.Fixed(k.Ratio, decimals) != "1.00" {
		less := "more"
		if k.Difference < 0 {
			less = "less"
		}
		said = fmt.Sprintf("The micrometer usually reads %s %s than mass, size and material of the cans give", wording.Quantity(c.Units, "can_gauge", math.Abs(k.Difference)), less)
	}
	t.Item(said + ".")
	t.Evidence(fmt.Sprintf("%s times, %s; %s", wording.Fixed(k.Ratio, decimals), wording.Range95(wording.Fixed(k.Low, decimals), wording.Fixed(k.High, decimals)), wording.Counted(k.Cans, "can", "cans")))
}
