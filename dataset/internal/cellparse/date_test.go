package cellparse

import (
	"errors"
	"math"
	"testing"
	"time"
)

func TestParseDate(t *testing.T) {
	for _, c := range []struct {
		text  string
		order Order
		want  Date
		e     DateEvidence
	}{
		{"2024-03-08", OrderUnknown, Date{2024, 3, 8}, DateSilent},
		{"2024/3/8", OrderUnknown, Date{2024, 3, 8}, DateSilent},
		{"2024.03.08", OrderUnknown, Date{2024, 3, 8}, DateSilent},
		{"20240308", OrderUnknown, Date{2024, 3, 8}, DateSilent},
		{"2024-03-08 14:30", OrderUnknown, Date{2024, 3, 8}, DateSilent},
		{"2024-03-08T14:30:00Z", OrderUnknown, Date{2024, 3, 8}, DateSilent},
		{"08.03.2024", OrderUnknown, Date{2024, 3, 8}, DateSilent},
		{"8.3.24", OrderUnknown, Date{2024, 3, 8}, DateSilent},
		{"3/8/2024", MonthFirst, Date{2024, 3, 8}, DependsOnColumn},
		{"3/8/2024", DayFirst, Date{2024, 8, 3}, DependsOnColumn},
		{"3/8/2024", OrderUnknown, Date{2024, 0, 0}, DependsOnColumn},
		{"3/25/2024", OrderUnknown, Date{2024, 3, 25}, ShowsMonthFirst},
		{"25/3/2024", OrderUnknown, Date{2024, 3, 25}, ShowsDayFirst},
		{"25-3-2024", MonthFirst, Date{2024, 3, 25}, ShowsDayFirst},
		{"5/5/2024", OrderUnknown, Date{2024, 5, 5}, DateSilent},
		{"8 Mar 2024", OrderUnknown, Date{2024, 3, 8}, DateSilent},
		{"8-Mar-24", OrderUnknown, Date{2024, 3, 8}, DateSilent},
		{"March 8, 2024", OrderUnknown, Date{2024, 3, 8}, DateSilent},
		{"8th March 2024", OrderUnknown, Date{2024, 3, 8}, DateSilent},
		{"2024 Mar 8", OrderUnknown, Date{2024, 3, 8}, DateSilent},
		{"2024-03", OrderUnknown, Date{2024, 3, 0}, DateSilent},
		{"03/2024", OrderUnknown, Date{2024, 3, 0}, DateSilent},
		{"Mar 2024", OrderUnknown, Date{2024, 3, 0}, DateSilent},
		{"Sept 2024", OrderUnknown, Date{2024, 9, 0}, DateSilent},
		{"2024", OrderUnknown, Date{2024, 0, 0}, DateSilent},
		{"45359", OrderUnknown, Date{2024, 3, 8}, SerialDate},
		{"45359.75", OrderUnknown, Date{2024, 3, 8}, SerialDate},
		{"2024-02-29", OrderUnknown, Date{2024, 2, 29}, DateSilent},
	} {
		d, e, err := ParseDate(c.text, c.order)
		if err != nil || d != c.want || e != c.e {
			t.Errorf("%q: %v %d %v, want %v %d", c.text, d, e, err, c.want, c.e)
		}
	}
	for _, text := range []string{"", "soon", "2023-02-29", "2024-13-01", "31/4/2024", "32/1/2024", "0/5/2024", "2024-00-08", "1850-01-01", "123", "999999999", "3/8", "2024-3-8-1", "Mar", "8 Marz 2024", "....", "0000-00-00", "2024-03-00"} {
		if d, _, err := ParseDate(text, DayFirst); err == nil {
			t.Errorf("%q is read as %v", text, d)
		}
	}
}

// TestSerialDates checks the origin of spreadsheet dates: ECMA-376 part 1,
// 18.17.4.1, gives 1 January 1900 the number 1 and includes a 29 February 1900,
// so that 1 March 1900 is 61 and 1 January 2000 is 36526. Clause from memory.
func TestSerialDates(t *testing.T) {
	d, _, err := ParseDate("36526", OrderUnknown)
	if err != nil || d != (Date{2000, 1, 1}) {
		t.Errorf("36526 is %v, %v", d, err)
	}
	if got := serialOrigin.AddDate(0, 0, 61); got != time.Date(1900, 3, 1, 0, 0, 0, 0, time.UTC) {
		t.Errorf("61 is %v", got)
	}
	// The same section: 1 January 1904 is 0 in the 1904 system, so the numbers
	// differ by 1462.
	if got := serialOrigin.AddDate(0, 0, 1462); got != time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC) {
		t.Errorf("1462 is %v", got)
	}
}

func TestDecimalYear(t *testing.T) {
	for _, c := range []struct {
		d    Date
		want float64
	}{
		{Date{2024, 1, 1}, 2024 + 0.5/366},
		{Date{2023, 12, 31}, 2023 + 364.5/365},
		{Date{2023, 2, 0}, 2023 + (31+14.0)/365},
		{Date{2023, 0, 0}, 2023.5},
	} {
		if got := c.d.DecimalYear(); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v is %v, want %v", c.d, got, c.want)
		}
	}
}

// TestCalendar compares the calendar arithmetic with the time package, day by
// day.
func TestCalendar(t *testing.T) {
	for day := time.Date(FirstYear, 1, 1, 0, 0, 0, 0, time.UTC); day.Year() <= LastYear; day = day.AddDate(0, 0, 1) {
		d := Date{day.Year(), int(day.Month()), day.Day()}
		next := time.Date(d.Year, day.Month()+1, 0, 0, 0, 0, 0, time.UTC)
		length := time.Date(d.Year, 12, 31, 0, 0, 0, 0, time.UTC).YearDay()
		want := float64(d.Year) + (float64(day.YearDay())-0.5)/float64(length)
		if daysIn(d.Year, d.Month) != next.Day() || math.Abs(d.DecimalYear()-want) > 1e-12 {
			t.Fatalf("%v: %d days, %v; want %d, %v", d, daysIn(d.Year, d.Month), d.DecimalYear(), next.Day(), want)
		}
	}
}

func FuzzParseDate(f *testing.F) {
	for _, s := range []string{"2024-03-08", "08.03.2024", "3/8/2024", "8 Mar 2024", "March 8, 2024", "45359.5", "2024", "03/2024", "2024-03-08T10:00:00", "31/12/99", "::", "T:", "./-,"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, order := range []Order{OrderUnknown, DayFirst, MonthFirst} {
			d, _, err := ParseDate(text, order)
			if err != nil {
				var e *Error
				if !errors.As(err, &e) {
					t.Fatalf("%q: untyped error %v", text, err)
				}
				continue
			}
			if d.Precision() == "" || d.Year < FirstYear || d.Year > LastYear {
				t.Fatalf("%q: %v", text, d)
			}
			if y := d.DecimalYear(); !(y >= float64(d.Year) && y < float64(d.Year+1)) {
				t.Fatalf("%q: %v is %v", text, d, y)
			}
		}
	})
}
