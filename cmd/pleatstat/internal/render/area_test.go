package render_test

import (
	"bytes"
	"strings"
	"testing"

	"pleatstat/cmd/pleatstat/internal/render/changes"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/stats/drift"
)

// A price per area that rises because the area falls is reported with the area, unless
// the price changed as well.
func TestPricePerAreaIsToldWithTheArea(t *testing.T) {
	thinner := storedDrift()[1]
	entry := func(measure string, v drift.Verdict) drift.Entry {
		e := thinner
		e.Measure, e.Verdict = measure, v
		return e
	}
	area, per, price := entry("media_area", drift.Falling), entry("price_per_area", drift.Rising), entry("price", drift.Rising)
	follows := per
	follows.Follows = "media_area"
	for _, c := range []struct {
		entries  []drift.Entry
		together bool
	}{{[]drift.Entry{area, follows}, true}, {[]drift.Entry{area, per, price}, false}, {[]drift.Entry{per}, false}} {
		var b bytes.Buffer
		changes.OverTheYears(wording.NewText(&b, false), c.entries, benchUnits(t), false)
		text := strings.Join(strings.Fields(b.String()), " ")
		if together := strings.Contains(text, "At an unchanged price each piece of media costs more by that."); together != c.together ||
			strings.Contains(strings.ToLower(text), "price per") == c.together {
			t.Errorf("told together %t, want %t:\n%s", together, c.together, b.String())
		}
	}
}
