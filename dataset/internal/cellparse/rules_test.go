package cellparse

import "testing"

// Numbers side by side are readings of one quantity if the largest is at most
// half as large again as the smallest.
func TestMaxReadingRatioRule(t *testing.T) {
	for text, readings := range map[string]bool{"10.0/14.9": true, "10.0/15.1": false} {
		if _, ok := sideBySide(text, Point); ok != readings {
			t.Errorf("%s: readings of one thing %t", text, ok)
		}
	}
}
