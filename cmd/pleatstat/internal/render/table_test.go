package render_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"pleatstat/cmd/pleatstat/internal/render/changes"
	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Numbers wider than their column are still separated by a space, so that each can be
// read and a line can be split at its spaces.
func TestNumbersInTablesNeverTouch(t *testing.T) {
	units := benchUnits(t)
	for _, size := range []float64{1, 1e5, 1e8, 1e12} {
		var b bytes.Buffer
		text := wording.NewText(&b, false)
		judged := price.Judgement{Verdict: price.Verdict{Maker: "Skerrow", Part: "SK-1", Grade: trend.AsExpected, N: 123456, Price: 8.25 * size, Fair: 7.5 * size,
			Low: 6.25 * size, High: 9.5 * size, Ratio: 1.1}, Rank: 1, Of: 1}
		prices.Ranking(text, []price.Judgement{judged}, nil, nil, units)
		changes.Report(text, []drift.Entry{{Maker: "Skerrow", Measure: "can_gauge", N: 123456, Blocks: 6, PerYear: -1.5 * size, Low: -2.5 * size, High: -0.5 * size, Q: 0.001, Verdict: drift.Falling}},
			units, time.Time{}, true)
		found := 0
		for line := range strings.Lines(b.String()) {
			if strings.Contains(line, "Skerrow") && strings.Contains(line, "123456") {
				found++
				if n := len(strings.Fields(line)); n < 7 {
					t.Errorf("size %g: %d fields in %q", size, n, line)
				}
				for field := range strings.FieldsSeq(line) {
					if strings.Contains(strings.TrimPrefix(field, "−"), "−") {
						t.Errorf("size %g: two numbers in one, %q in %q", size, field, line)
					}
				}
			}
		}
		if found != 2 {
			t.Errorf("size %g: %d lines of tables in\n%s", size, found, b.String())
		}
	}
}
