package check

import (
	"fmt"

	"pleatstat/dataset"
)

// bypassSprings notes, once per log, openings that have a bypass spring but no
// bypass valve.
func bypassSprings(t *table, f *findings) {
	valve, spring := t.log.Strings("bypass"), t.log.Strings("bypass_spring")
	if valve == nil || spring == nil {
		return
	}
	n, first := 0, -1
	for i := range t.n {
		if valve[i] == "none" && spring[i] != "" && spring[i] != "none" {
			if n++; first < 0 {
				first = i
			}
		}
	}
	if n == 0 {
		return
	}
	where := "here"
	if n > 1 {
		where = fmt.Sprintf("here and in %s more", lines(n-1))
	}
	f.at(first, "bypass_spring", dataset.Note, "a bypass spring and no bypass valve, "+where+
		": the spring that only presses the element home is no bypass spring")
}
