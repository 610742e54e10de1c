package render_test

import (
	"testing"

	"pleatstat/stats/trend"
)

// Texts, heads of tables, charts, the guide and the README say "95 %", "19 of 20"
// and "one in twenty" in so many words: who moves the confidence moves them all.
func TestWordsOfTheConfidence(t *testing.T) {
	if trend.Confidence != 0.95 {
		t.Errorf("ranges have %g, texts still say 95 %%, 19 of 20 and one in twenty", trend.Confidence)
	}
}
