package page

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// nightColours numbers the pairs of light and dark colours in the drawings. The page
// holds a drawing once, in its light colours; a class on each element whose colours
// differ gives it the dark one.
type nightColours map[colourPair]int

type colourPair struct{ attribute, day, night string }

// colourOf matches the colours in a drawing. It matches no text from the log: that is
// escaped and holds no quotes.
var colourOf = regexp.MustCompile(` (fill|stroke)="(#[0-9a-fA-F]{6})"`)

// merge returns the drawing with its classes or, if the light and the dark one differ
// in more than their colours, both drawings, of which the style sheet shows one.
func (n nightColours) merge(p Picture) string {
	if p.Night == nil {
		return string(p.Day)
	}
	day, night := colourOf.FindAllSubmatchIndex(p.Day, -1), colourOf.FindAllSubmatchIndex(p.Night, -1)
	same := len(day) == len(night)
	var out bytes.Buffer
	atDay, atNight := 0, 0
	for i := 0; same && i < len(day); i++ {
		d, k := day[i], night[i]
		same = bytes.Equal(p.Day[atDay:d[4]], p.Night[atNight:k[4]])
		out.Write(p.Day[atDay:d[1]])
		pair := colourPair{string(p.Day[d[2]:d[3]]), string(p.Day[d[4]:d[5]]), string(p.Night[k[4]:k[5]])}
		if pair.day != pair.night {
			if _, there := n[pair]; !there {
				n[pair] = len(n)
			}
			fmt.Fprintf(&out, ` class="n%d"`, n[pair])
		}
		atDay, atNight = d[1], k[1]
	}
	if same = same && bytes.Equal(p.Day[atDay:], p.Night[atNight:]); same {
		out.Write(p.Day[atDay:])
		return out.String()
	}
	return `<div class="by-day">` + string(p.Day) + `</div><div class="by-night">` + string(p.Night) + `</div>`
}

// css returns the style rules for dark mode.
func (n nightColours) css() string {
	rules := make([]string, len(n))
	for pair, i := range n {
		rules[i] = fmt.Sprintf(".n%d { %s: %s; }", i, pair.attribute, pair.night)
	}
	slices.Sort(rules)
	if len(rules) == 0 {
		return ""
	}
	return "@media screen and (prefers-color-scheme: dark) {\n" + strings.Join(rules, "\n") + "\n}\n"
}
