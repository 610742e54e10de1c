package cellparse

import (
	"regexp"
	"strconv"
	"strings"
	"sync"
)

// approxBefore and approxAfter are the words and signs that mark a number as
// approximate, before and after it. A word comes before any shorter one that it
// contains.
var (
	approxBefore = []string{"~", "≈", "approximately", "approx.", "approx", "about", "abt.", "abt", "around", "roughly", "estimated", "est.", "est ", "circa", "ca.", "ca ", "c."}
	approxAfter  = []string{"?", "~", "estimated", "estimate", "est.", "est", "approx.", "approx", "about", "ca.", "ca", "or so", "-ish", "ish", "roughly", "rough"}
)

// cutApprox removes a mark of approximation from the beginning of a text.
func cutApprox(s string) (rest string, ok bool) {
	if s == "" || strings.IndexByte("~aAeErRcC\xe2", s[0]) < 0 {
		return s, false // nearly every cell ends here
	}
	for _, word := range approxBefore {
		if len(s) >= len(word) && strings.EqualFold(s[:len(word)], word) {
			return strings.TrimSpace(s[len(word):]), true
		}
	}
	return s, false
}

// approxEndings holds the characters in which the words of approxAfter and
// brackets end.
const approxEndings = "?~dDeE.tTxXaAoOhHyY)]"

// trimApprox removes marks of approximation from the end of a text, alone or in
// brackets: "62 (est)", "2.3 mm?".
func trimApprox(s string) (rest string, ok bool) {
	for {
		if s == "" || strings.IndexByte(approxEndings, s[len(s)-1]) < 0 {
			return s, ok
		}
		inner, closed := strings.CutSuffix(s, ")")
		if !closed {
			inner, closed = strings.CutSuffix(s, "]")
		}
		found := false
		for _, word := range approxAfter {
			at := len(inner) - len(word)
			if at < 0 || !strings.EqualFold(inner[at:], word) {
				continue
			}
			before := strings.TrimSpace(inner[:at])
			if closed {
				if !strings.HasSuffix(before, "(") && !strings.HasSuffix(before, "[") {
					continue
				}
				before = strings.TrimSpace(before[:len(before)-1])
			}
			s, ok, found = before, true, true
			break
		}
		if !found {
			return s, ok
		}
	}
}

// packPattern matches the number of filters that a price is for: (2 pack), pack
// of 2, for 2, twin pack.
var packPattern = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`(?i)[\s,(\[]*(?:\b(\d{1,3})\s*-?\s*(?:packs?|pk|pcs?|pieces|filters|off)\b|\b(?:pack|box|set|case) of (\d{1,3})\b|\bfor (\d{1,3})\b|\b(twin|two)[\s-]?pack\b)\.?\s*[)\]]*$`)
})

// cutPack removes the size of a pack from the text after a price.
func cutPack(s string) (rest string, pack uint16) {
	found := packPattern().FindStringSubmatchIndex(s)
	if found == nil {
		return s, 0
	}
	pack = 2 // twin pack
	for _, group := range []int{1, 2, 3} {
		if at := found[2*group]; at >= 0 {
			n, _ := strconv.ParseUint(s[at:found[2*group+1]], 10, 16)
			pack = uint16(n)
		}
	}
	if pack == 0 {
		return s, 0
	}
	return strings.TrimSpace(s[:found[0]]), pack
}

// maxReadingRatio is the greatest ratio of the largest to the smallest number of a cell
// at which numbers side by side are readings of one quantity.
const maxReadingRatio = 1.5

// maybeSideBySide is a quick test for readings separated by slashes or commas.
// Most cells with a slash are fractions.
func maybeSideBySide(text string) bool {
	slash := strings.IndexByte(text, '/')
	if slash < 0 || strings.Contains(text, ", ") {
		return strings.Contains(text, ", ")
	}
	rest := text[slash+1:]
	return strings.ContainsAny(rest, "/.,") || strings.ContainsAny(text[:slash], ".,") || !strings.ContainsAny(text[:slash], " -") && !isFraction(rest)
}

// sideBySide converts readings written as 19/19.3/19.4 or 19, 19.3, 19.4 to
// 19;19.3;19.4. It is false for any other text: fractions, dates, decimals.
func sideBySide(text string, mark Mark) (string, bool) {
	sign := ", "
	if !strings.Contains(text, sign) {
		sign = "/"
	}
	pieces := strings.Split(text, sign)
	if len(pieces) < 2 || len(pieces) > MaxReadings {
		return "", false
	}
	low, high, whole := 0.0, 0.0, true
	for i, piece := range pieces {
		if strings.Contains(piece, "/") {
			return "", false
		}
		n, err := ParseNumber(piece, mark)
		if err != nil && n.Evidence < DependsPoint || n.Unit != "" && i < len(pieces)-1 {
			return "", false
		}
		if err != nil { // 1.234 and 1,234 depend on the file, but are readings either way
			n.Value, _ = strconv.ParseFloat(strings.Replace(strings.TrimSpace(piece), ",", ".", 1), 64)
		}
		if i == 0 {
			low, high = n.Value, n.Value
		}
		low, high = min(low, n.Value), max(high, n.Value)
		whole = whole && n.Decimals == 0
	}
	if low <= 0 || high > maxReadingRatio*low {
		return "", false
	}
	if sign == "/" && len(pieces) == 2 && whole && isFraction(pieces[1]) {
		return "", false // 15/16
	}
	return strings.Join(pieces, ";"), true
}

// isFraction reports whether a text is a denominator found on rulers, tapes and
// gauges.
func isFraction(denominator string) bool {
	switch strings.TrimSpace(denominator) {
	case "2", "3", "4", "5", "6", "8", "10", "12", "16", "20", "24", "32", "64", "100", "128":
		return true
	}
	return false
}
