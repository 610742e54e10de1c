package trend

import (
	"pleatstat/dataset"
	"testing"
)

func TestWordsSayNoUnit(t *testing.T) {
	for column, want := range map[string]string{
		"can_gauge": "can gauge", "price_per_area": "price per area", "price_per_100g": "price per mass", "opened": "date opened", "own column": "own column",
	} {
		if got := dataset.Words(column); got != want {
			t.Errorf("%s is said as %q, want %q", column, got, want)
		}
	}
}
