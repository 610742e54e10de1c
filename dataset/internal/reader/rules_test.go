package reader

import (
	"testing"

	"pleatstat/dataset/internal/cellparse"
)

// The rarer decimal mark counts as slips if the other is ten times as frequent;
// otherwise the mark stays undecided.
func TestDominanceRule(t *testing.T) {
	for points, mark := range map[int]cellparse.Mark{9: cellparse.Undecided, 10: cellparse.Point} {
		if got := (&evidence{points: points, commas: 1}).decide(';', cellparse.OrderUnknown).mark; got != mark {
			t.Errorf("%d points and 1 comma: %v", points, got)
		}
	}
}
