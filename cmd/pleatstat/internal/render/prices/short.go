package prices

import (
	"fmt"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// InShort names the parts whose prices are off on one side, "" where none
// was judged to be.
func InShort(all []price.Verdict, usable int, u dataset.Units, direction string) string {
	if usable < price.LeastProducts {
		return ""
	}
	var said []string
	for _, g := range []trend.Grade{trend.Clear, trend.Probable} {
		var names []string
		for _, v := range WithGrade(all, direction, g) {
			usual := ", about " + wording.Money(u, v.Fair) + " is usual)"
			if len(names) > 0 { // once is enough
				usual = ", " + wording.Money(u, v.Fair) + ")"
			}
			names = append(names, wording.Name(v.Maker, v.Part)+" ("+wording.Money(u, v.Price)+usual)
		}
		if len(names) > 0 {
			how := map[trend.Grade]string{trend.Clear: "clearly", trend.Probable: "probably"}[g]
			if len(said) == 0 {
				how += " " + direction + " what their contents usually cost"
			}
			said = append(said, how+": "+wording.Joined(wording.Cut(names, wording.MaxNamed)))
		}
	}
	return wording.Sentence(strings.Join(said, "; "))
}

// NoneOff says that of n parts none is off its usual price.
func NoneOff(n int) string {
	return fmt.Sprintf("Of %s none costs clearly or probably more or less than its contents usually cost.", wording.Counted(n, "part", "parts"))
}
