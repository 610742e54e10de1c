package render_test

import (
	"testing"

	"pleatstat/stats/trend"
)

// Texts, table headings, charts, the guide and the README state "95 %", "19 of 20" and
// "one in twenty" in words: they must all change with the confidence.
func TestWordsOfTheConfidence(t *testing.T) {
	if trend.Confidence != 0.95 {
		t.Errorf("ranges have %g, texts still say 95 %%, 19 of 20 and one in twenty", trend.Confidence)
	}
}
