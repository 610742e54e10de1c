package roundup

import (
	"fmt"
	"strings"
	"testing"
)

// A price per area that rises since the year before because the area fell follows
// the area, unless prices moved too.
func TestPricePerAreaFollowsTheArea(t *testing.T) {
	for factor, want := range map[float64]string{1: "media_area", 1.3: ""} {
		var b strings.Builder
		b.WriteString("opened,maker,part,price,media_length_mm,element_width_mm\n")
		for i := range 12 {
			was := 8 + 0.1*float64(i%3)
			fmt.Fprintf(&b, "2023-0%d-05,Skerrow,S%d,%.2f,%d,60\n", 1+i%9, i, was, 1500+40*i)
			fmt.Fprintf(&b, "2024-0%d-05,Skerrow,S%d,%.2f,%d,60\n", 1+i%9, i, was*factor+0.01*float64(i%3-1), (1500+40*i)*7/8)
		}
		seen := 0
		for _, s := range build(t, b.String(), Options{}).Shifts {
			told := ""
			if s.Measure == "price_per_area" && s.Clear && (s.Group == OpenedAgain || s.Group == SameProducts) {
				told = want
				seen++
			}
			if s.Follows != told {
				t.Errorf("prices times %v: %s, %s, follows %q, want %q", factor, s.Measure, s.Group, s.Follows, told)
			}
		}
		if seen != 2 {
			t.Errorf("prices times %v: %d clear shifts of price per area, want 2", factor, seen)
		}
	}
}
