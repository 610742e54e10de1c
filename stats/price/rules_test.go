package price

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pleatstat/stats/trend"
)

// Both sides of each rule; the numbers are repeated here on purpose.

// 7 products are too few to judge prices by, 8 are not; below 20 a grade is at
// most a hint.
func TestProductsOnBothSidesOfEachRule(t *testing.T) {
	for _, c := range []struct {
		n            int
		judged, firm bool
	}{{7, false, false}, {8, true, false}, {19, true, false}, {20, true, true}} {
		text := "maker,part,price,media_area_cm2\n"
		for i := range c.n {
			factor := 1.0
			if i == 3 {
				factor = 5
			}
			text += fmt.Sprintf("Skerrow,SK %d,%.2f,%d\n", i, factor*(4+0.4*float64(i)+0.25*float64(i%3)), 300+30*i)
		}
		j, err := fitted(t, readCSV(t, text), Options{}).Judge("Skerrow", "SK 3")
		if err != nil {
			t.Fatal(err)
		}
		few := strings.Contains(strings.Join(j.Warnings, "\n"), "products only, 20 would make it firmer")
		if judged := j.Grade != trend.CannotSay; judged != c.judged || few != (c.judged && !c.firm) || c.judged && (j.Grade == trend.Clear) != c.firm {
			t.Errorf("%d products: %s, said to be few %t", c.n, j.Grade, few)
		}
	}
}

// A content is used from 10 products on, a category by itself from 3.
func TestContentsOnBothSidesOfEachRule(t *testing.T) {
	for _, c := range []struct {
		values, members int
		columns         string
	}{
		{9, 2, "[]"}, {10, 2, "[can_gauge]"}, {9, 3, "[magnet]"}, {10, 3, "[can_gauge magnet]"},
	} {
		var all []product
		for i := range 40 {
			p := product{area: math.Log(300 + float64(i)), numbers: make([]float64, len(numbers)), words: make([]string, len(words))}
			for k := range p.numbers {
				p.numbers[k] = math.NaN()
			}
			if i < c.values {
				p.numbers[0] = math.Log(0.4 + 0.01*float64(i))
			}
			p.words[2] = "no"
			if i < c.members {
				p.words[2] = "yes"
			}
			all = append(all, p)
		}
		var got []string
		for _, col := range newCoding(all, false).columns {
			got = append(got, col.content)
		}
		if fmt.Sprint(got) != c.columns {
			t.Errorf("%d values, %d members: %v, want %s", c.values, c.members, got, c.columns)
		}
	}
}

// A yearly rise is reported for a log of a year, not for a shorter one.
func TestRiseOnBothSidesOfTheRule(t *testing.T) {
	for months, told := range map[int]bool{11: false, 13: true} {
		text := "opened,maker,part,price,media_area_cm2\n"
		for i := range 30 {
			month := i % (months + 1)
			text += fmt.Sprintf("%d-%02d,Skerrow,SK %d,%.2f,%d\n", 2020+month/12, 1+month%12, i, 6+0.5*float64(i%7), 300+25*i)
		}
		if _, ok := fitted(t, readCSV(t, text), Options{}).Rise(); ok != told {
			t.Errorf("a log of %d months: told %t", months, ok)
		}
	}
}

// The inner range contains 80 % and the outer 95 %: for a normal distribution
// their widths are as 1.282 to 1.960 (quantiles of the normal distribution, any
// table); with estimated scale a little more.
func TestWidthsOfTheRangesRule(t *testing.T) {
	for _, j := range fitted(t, readCSV(t, benchOf(200, 5, 0, 0)), Options{}).All() {
		if ratio := math.Log(j.High/j.Low) / math.Log(j.High80/j.Low80); ratio < 1.45 || ratio > 1.95 {
			t.Fatalf("%s: the outer range is %.3f times as wide as the inner", j.Part, ratio)
		}
	}
}

// The table of grades for the two kinds of evidence.
func TestGradeOfTwoKindsOfEvidence(t *testing.T) {
	of := func(g trend.Grade, side float64) trend.Evidence {
		e := trend.Evidence{Value: 100 * math.Pow(1.6, side), Expected: 100, Low: 80, High: 125, Tail: trend.Tail{Q: 1, QClear: 1}}
		switch g {
		case trend.Clear:
			e.Q, e.QClear = 0.01, 0.01
		case trend.Probable:
			e.Q = 0.01
		case trend.AsExpected:
			e.Value = 110
		}
		return e
	}
	for _, c := range []struct {
		area, inside, want trend.Grade
	}{
		{trend.Clear, trend.Clear, trend.Clear},
		{trend.Clear, trend.Probable, trend.Probable}, {trend.Probable, trend.Clear, trend.Probable}, {trend.Probable, trend.Probable, trend.Probable},
		{trend.Clear, trend.Hint, trend.Probable}, {trend.Hint, trend.Clear, trend.Probable},
		{trend.Probable, trend.Hint, trend.Hint}, {trend.Hint, trend.Probable, trend.Hint}, {trend.Hint, trend.Hint, trend.Hint},
		{trend.AsExpected, trend.Clear, trend.Hint}, {trend.AsExpected, trend.Hint, trend.Hint},
		{trend.Clear, trend.AsExpected, trend.AsExpected}, {trend.Hint, trend.AsExpected, trend.AsExpected}, {trend.AsExpected, trend.AsExpected, trend.AsExpected},
	} {
		if got := grade(of(c.area, 1), of(c.inside, 1)); got != c.want {
			t.Errorf("%s by area, %s by everything inside: %s, want %s", c.area, c.inside, got, c.want)
		}
		if c.area != trend.AsExpected && c.inside != trend.AsExpected {
			if got := grade(of(c.area, -1), of(c.inside, 1)); got != trend.Hint {
				t.Errorf("%s below by area, %s above by everything inside: %s", c.area, c.inside, got)
			}
		}
	}
	near := of(trend.Clear, 1)
	near.Value = 124 // less than a quarter
	near.High = 120
	if got := grade(of(trend.Clear, 1), near); got != trend.Hint {
		t.Errorf("24 %% above by everything inside: %s", got)
	}
}
