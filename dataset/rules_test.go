package dataset

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pleatstat/dataset/internal/cells"
)

// Cases on either side of each threshold for reading a log. The thresholds are
// repeated here on purpose.

// The step of a column needs 5 values, of which 95 % are multiples of it; the
// rest are slips.
func TestStepRules(t *testing.T) {
	for _, c := range []struct {
		values, off int
		step        float64
	}{{4, 0, math.NaN()}, {5, 0, 0.1}, {40, 2, 0.1}, {40, 3, 0.01}} {
		text := "maker,part,can_od_mm\n"
		for i := range c.values {
			v := fmt.Sprintf("%.2f", 70+0.1*float64(i))
			if i < c.off {
				v = fmt.Sprintf("%.2f", 70.03+0.1*float64(i))
			}
			text += fmt.Sprintf("Skerrow,SK %d,%s\n", i, v)
		}
		if got := mustRead(t, text, Options{}).Resolution("can_od"); !(math.Abs(got-c.step) < 1e-9) && !(math.IsNaN(got) && math.IsNaN(c.step)) {
			t.Errorf("%d values, %d of them off: step %g, want %g", c.values, c.off, got, c.step)
		}
	}
}

// A column is shown with as many decimals as 95 % of its cells have, so that an
// extra decimal in one cell in twenty adds none.
func TestUsualDigitsRule(t *testing.T) {
	for rest, digits := range map[int]int{1: 1, 2: 2} {
		c := cells.Column{}
		c.Places[1], c.Places[2] = 20-rest, rest
		if got := c.Decimals(); got != digits {
			t.Errorf("%d of 20 cells with a second digit: %d digits", rest, got)
		}
	}
}

// A column of the user's own is numeric if nine cells in ten are.
func TestOwnNumbersRule(t *testing.T) {
	for words, numbers := range map[int]bool{2: true, 3: false} {
		text := "maker,part,pleats,flow_mark\n"
		for i := range 20 {
			mark := fmt.Sprint(3 + i)
			if i < words {
				mark = "smudged"
			}
			text += fmt.Sprintf("Skerrow,SK %d,60,%s\n", i, mark)
		}
		if got := mustRead(t, text, Options{}).Floats("flow_mark") != nil; got != numbers {
			t.Errorf("%d words in 20 cells: numbers %t", words, got)
		}
	}
}

// A name of 5 letters or more may be a slip of one that is ten times as frequent.
func TestSlipOfANameRules(t *testing.T) {
	for _, c := range []struct {
		name, slip string
		openings   int
		told       bool
	}{{"Skerrow", "Skerow", 9, false}, {"Skerrow", "Skerow", 10, true}, {"Weld", "Wald", 40, false}, {"Welds", "Walds", 40, true}} {
		text := "maker,part,pleats\n" + strings.Repeat(c.name+",B-1,60\n", c.openings) + c.slip + ",B-9,60\n"
		if got := len(Spellings(mustRead(t, text, Options{}))) == 1; got != c.told {
			t.Errorf("%d %s and 1 %s: told %t", c.openings, c.name, c.slip, got)
		}
	}
}

// codesRead returns the number of date codes read for filters opened in June
// 2022.
func codesRead(t *testing.T, codes ...string) int {
	t.Helper()
	text := "opened,maker,part,date_code,pleats\n"
	for i, c := range codes {
		text += fmt.Sprintf("2022-06-%02d,Skerrow,SK %d,%s,50\n", 1+i, i, c)
	}
	log, n := mustRead(t, text, Options{}), 0
	for row := range codes {
		if _, _, ok := log.Made(row); ok {
			n++
		}
	}
	return n
}

func TestColumnOfCodesRules(t *testing.T) {
	days := func(sound, odd int) []string { // codes of year and day of the year
		var out []string
		for i := range sound {
			out = append(out, time.Date(2021, time.January, 5, 0, 0, 0, 0, time.UTC).AddDate(0, 0, 20*i).Format("2006")+fmt.Sprintf("%03d", 5+20*i%360))
		}
		for i := range odd {
			out = append(out, fmt.Sprintf("999999%d", i))
		}
		return out
	}
	// Year first or day first: 200520 is 20 May 2020 either way, 210530 is a
	// plausible date only with the year first.
	either := func(n, one int) []string {
		var out []string
		for i := range n {
			out = append(out, fmt.Sprintf("20%02d20", 1+i))
		}
		for _, month := range []int{1, 3, 4, 5, 6}[:one] {
			out = append(out, fmt.Sprintf("21%02d30", month))
		}
		return out
	}
	months := func(n int) []string {
		var out []string
		for i := range n {
			out = append(out, fmt.Sprintf("%02d21", 1+i))
		}
		return out
	}
	for name, c := range map[string]struct {
		codes []string
		read  int
	}{
		"2 codes":                          {days(2, 0), 0},
		"3 codes":                          {days(3, 0), 3},
		"nine tenths make sense":           {days(18, 2), 18},
		"less":                             {days(17, 3), 0},
		"half read another way as well":    {either(5, 5), 10},
		"more than half":                   {either(6, 5), 0},
		"7 codes, weeks or months":         {months(7), 0},
		"8 codes, none beyond the twelfth": {months(8), 8},
	} {
		if got := codesRead(t, c.codes...); got != c.read {
			t.Errorf("%s (%v): %d dates, want %d", name, c.codes, got, c.read)
		}
	}
}
