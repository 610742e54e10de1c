package dataset

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pleatstat/dataset/internal/cellparse"
)

// codeLog returns a log of parts opened a few months after they were made, with
// codes written by format.
func codeLog(format func(t time.Time) string, n int) (text string, made []time.Time) {
	var b strings.Builder
	b.WriteString("opened,maker,part,date_code,pleats\n")
	for i := range n {
		day := time.Date(2017, 1, 9, 0, 0, 0, 0, time.UTC).AddDate(0, 0, 37*i)
		made = append(made, day)
		fmt.Fprintf(&b, "%s,Skerrow,SK %d,%s,50\n", day.AddDate(0, 5, 3).Format(time.DateOnly), i, format(day))
	}
	return b.String(), made
}

// Every notation is read if the column shows which it is: the date encoded lies
// in the span. Weeks are those of ISO 8601, as the time package counts them.
func TestDateCodes(t *testing.T) {
	week := func(layout string) func(time.Time) string {
		return func(d time.Time) string {
			y, w := d.ISOWeek()
			return strings.NewReplacer("YYYY", fmt.Sprint(y), "YY", fmt.Sprintf("%02d", y%100), "WW", fmt.Sprintf("%02d", w)).Replace(layout)
		}
	}
	day := func(layout string) func(time.Time) string {
		return func(d time.Time) string {
			return strings.NewReplacer("YYYY", d.Format("2006"), "YY", d.Format("06"), "MM", d.Format("01"), "DDD", fmt.Sprintf("%03d", d.YearDay()), "DD", d.Format("02"), "Y", d.Format("2006")[3:]).Replace(layout)
		}
	}
	for name, c := range map[string]struct {
		format func(time.Time) string
		days   float64 // length of the span
	}{
		"ISO week": {week("YYYY-WWW"), 7}, "week and year": {week("WWYY"), 7}, "year and week": {week("YYWW"), 7}, "with letters": {week("AWWYYB"), 7},
		"with a slash": {week("WW/YY"), 7}, "named week": {week("KW WW/YYYY"), 7}, "long year": {week("WW/YYYY"), 7}, "year and week, long": {week("YYYYWW"), 7},
		"ISO month": {day("YYYY-MM"), 31}, "month and year": {day("MM/YYYY"), 31}, "year and month": {day("YYMM"), 31}, "month and short year": {day("MMYY"), 31},
		"ISO day": {day("YYYY-MM-DD"), 1}, "day of the year": {day("YYDDD"), 1}, "day of the year before": {day("DDDYY"), 1}, "last digit of the year": {day("YDDD"), 1},
		"all digits": {day("YYYYDDD"), 1}, "eight digits": {day("YYYYMMDD"), 1}, "six digits": {day("YYMMDD"), 1}, "six digits, day first": {day("DDMMYY"), 1},
	} {
		text, made := codeLog(c.format, 60)
		l := mustRead(t, text, Options{})
		if ps := l.Problems(); len(ps) != 0 {
			t.Errorf("%s (%s): %+v", name, c.format(made[0]), ps)
			continue
		}
		column := l.Floats("made")
		for i, d := range made {
			from, to, ok := l.Made(i)
			at := cellparse.Date{Year: d.Year(), Month: int(d.Month()), Day: d.Day()}.Begin() + 0.4/365
			if !ok || at < from || at > to || (to-from)*365 > c.days+0.5 || !near(column[i], (from+to)/2, 1e-12) {
				t.Errorf("%s: %s was read as %.4f to %.4f, want %.4f", name, c.format(d), from, to, at)
				break
			}
		}
	}
}

// Ambiguous codes are not guessed, and are reported once.
func TestDateCodesLeftOpen(t *testing.T) {
	rows := func(codes ...string) string {
		text := "opened,maker,part,date_code,pleats\n"
		for i, c := range codes {
			text += fmt.Sprintf("2022-06-%02d,Skerrow,SK %d,%s,50\n", i+1, i, c)
		}
		return text
	}
	for name, c := range map[string]struct {
		text, says string
		made       int
	}{
		"week or month":         {rows("0521", "0721", "0921", "1021", "1121"), "could be week and year or ", 0},
		"lot numbers":           {rows("AX33-1", "7716Q", "LOT 9", "8834", "9912", "7745"), "6 of 6 codes can't be read as a date", 0},
		"two are not enough":    {rows("4021", "4121"), "2 of 2 codes can't be read as a date", 0},
		"three are":             {rows("4821", "4921", "1922"), "", 3},
		"one lot among weeks":   {rows("2021-W40", "2021-W41", "L33"), "one of 3 codes can't be read as a date and stay text, the first in line 4", 2},
		"a week there is none":  {rows("2021-W54", "2021-W12"), "one of 2 codes", 1},
		"one after its opening": {rows("4021", "4121", "4221", "4321", "4421", "4521", "4621", "4721", "4821", "4921", "5021", "4022"), "", 12},
		"blank":                 {rows("", "n/a", ""), "", 0},
	} {
		l := mustRead(t, c.text, Options{})
		made := 0
		for i := range l.Rows() {
			if _, _, ok := l.Made(i); ok {
				made++
			}
		}
		ps := l.Problems()
		if made != c.made || (c.says == "") != (len(ps) == 0) || c.says != "" && len(messages(l, c.says)) != 1 {
			t.Errorf("%s: %d read, want %d; %+v", name, made, c.made, ps)
		}
		if (l.Floats("made") == nil) != (c.made == 0) {
			t.Errorf("%s: the column made is %v", name, l.Floats("made"))
		}
		for _, p := range ps {
			if p.Severity != Note && !strings.Contains(p.Message, "more like") {
				t.Errorf("%s: %+v", name, p)
			}
		}
	}
}

func TestMadeOutlivesSetAside(t *testing.T) {
	text, _ := codeLog(func(d time.Time) string { return d.Format("2006-01") }, 5)
	l := mustRead(t, text, Options{})
	aside := l.SetAside([]CellRef{{Row: 0, Column: "pleats"}})
	if a, b := l.Floats("made"), aside.Floats("made"); len(b) != 5 || a[0] != b[0] || math.IsNaN(b[0]) {
		t.Errorf("%v, %v", a, b)
	}
	if from, _, ok := aside.Made(0); !ok || from != 2017 {
		t.Errorf("made %v", from)
	}
}
