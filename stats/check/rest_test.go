package check

import (
	"slices"
	"strings"
	"testing"

	"pleatstat/dataset"
	"pleatstat/stats/slip"
)

func read(t *testing.T, text string) *dataset.Log {
	t.Helper()
	log, err := dataset.Read(strings.NewReader(text), "bench.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return log
}

// only returns the problems of one column ("" = all).
func only(r *Result, column string) []dataset.Problem {
	var out []dataset.Problem
	for _, p := range r.Problems {
		if column == "" || p.Name == column {
			out = append(out, p)
		}
	}
	return out
}

func TestReadings(t *testing.T) {
	text := "maker,part,can_gauge_mm\n"
	for range 3 {
		text += "Skerrow,SK 1204,0.45; 0.46\nLowmere,L4015,0.42; 0.42; 0.43\nPellbrook,PB-52,0.43; 0.44\n"
	}
	for _, c := range []struct {
		cell, says, intended string
		aside                bool
	}{
		{"0.45; 0.46", "", "", false},
		{"0.45; 0.48", "", "", false}, // 0.03 mm apart: rough, but within what a bench does
		{"0.45; 0.56; 0.45", "usually repeat to", "", false},
		{"0.45; 0.46; 4.6", "0.45; 0.46; 0.46 fits", "0.45; 0.46; 0.46", true},
		{"4.5; 0.46", "0.45; 0.46 fits", "0.45; 0.46", true},
		{"0.45; 0.91", "left out of the fits", "", true},
	} {
		r := run(t, read(t, text+"Skerrow,SK 1204,"+c.cell+"\n"))
		problems := only(r, "can_gauge")
		if c.says == "" {
			if len(problems) != 0 {
				t.Errorf("%s: reported %+v", c.cell, problems)
			}
			continue
		}
		if len(problems) != 1 || !strings.Contains(problems[0].Message, c.says) || problems[0].Line != 11 {
			t.Errorf("%s: reported %+v", c.cell, problems)
		}
		intended := ""
		if len(r.Suggestions) == 1 {
			intended = r.Suggestions[0].Intended
		}
		if intended != c.intended || (len(r.SetAside) == 1) != c.aside {
			t.Errorf("%s: suggested %q, set aside %v", c.cell, intended, r.SetAside)
		}
	}
}

func TestDuplicates(t *testing.T) {
	row := "2022-01-08,Skerrow,SK 1204,9.49,184.2,84.1,0.45,66\n"
	header := "opened,maker,part,price,total_mass_g,can_mass_g,can_gauge_mm,pleats\n"
	r := run(t, read(t, header+row+"2022-01-08,Skerrow,SK 1204,9.49,184.3,84.1,0.45,66\n"+row))
	if len(r.Problems) != 1 || r.Problems[0].Line != 4 || !strings.Contains(r.Problems[0].Message, "line 2") {
		t.Errorf("the same row twice: %+v", r.Problems)
	}
	for name, text := range map[string]string{
		"another day":      header + row + "2022-01-15" + row[10:],
		"counts and price": "opened,maker,part,price,pleats\n2022-01-08,Skerrow,SK 1204,9.49,66\n2022-01-08,Skerrow,SK 1204,9.49,66\n",
	} {
		if r := run(t, read(t, text)); len(r.Problems) != 0 {
			t.Errorf("%s: %+v", name, r.Problems)
		}
	}
}

func TestDates(t *testing.T) {
	for _, c := range []struct {
		name     string
		changes  []alter
		says     string
		intended string
	}{
		{"in the future", []alter{{13, "opened", "2027-03-26"}}, "after today", ""},
		{"before it was made", []alter{{2, "date_code", "2022-W20"}}, "before the part was made", ""},
		{"out of order by years", []alter{{7, "opened", "2012-02-12"}}, "2022-02-12 fits", "2022-02-12"},
		{"out of order by a week", []alter{{7, "opened", "2022-01-29"}}, "", ""},
		{"made in the month it was opened", []alter{{2, "date_code", "2022-01"}}, "", ""},
		{"a code that is no date", []alter{{2, "date_code", "4821B"}, {3, "date_code", ""}}, "", ""},
		{"only the year is known", []alter{{13, "opened", "2022"}}, "", ""},
	} {
		r := run(t, altered(t, c.changes...))
		if c.says == "" {
			if len(only(r, "opened")) != 0 {
				t.Errorf("%s: %+v", c.name, r.Problems)
			}
			continue
		}
		messages := ""
		for _, p := range only(r, "opened") {
			messages += p.Message + "\n"
			if p.Line != c.changes[0].line {
				t.Errorf("%s: %+v", c.name, p)
			}
		}
		if !strings.Contains(messages, c.says) {
			t.Errorf("%s: %q", c.name, messages)
		}
		if c.intended != "" && (len(r.Suggestions) != 1 || r.Suggestions[0].Intended != c.intended || r.Suggestions[0].Sure) {
			t.Errorf("%s: suggested %+v", c.name, r.Suggestions)
		}
	}
}

func TestSpelling(t *testing.T) {
	text := "maker,part,pleats\nSkerrow,SK 1204,66\nSkerrow,SK 1204,66\nSkerrow,SK 1204,67\nSkerow,SK 1204,66\nSkerrow,SK-1204,66\n"
	r := run(t, read(t, text))
	var lines []int
	for _, s := range r.Suggestions {
		lines = append(lines, s.Line)
		if s.Kind != slip.Spelling || !s.Sure || s.Intended != "Skerrow" && s.Intended != "SK 1204" {
			t.Errorf("suggested %+v", s)
		}
	}
	if !slices.Equal(lines, []int{5, 6}) || len(r.Problems) != 2 {
		t.Errorf("lines %v, problems %+v", lines, r.Problems)
	}
}

// A column whose header names the wrong unit is reported once, not row by row.
func TestWholeColumn(t *testing.T) {
	r := run(t, read(t, strings.Replace(bench, "can_height_mm", "can_height_in", 1)))
	if len(r.Problems) != 1 || r.Problems[0].Name != "can_height" || !strings.Contains(r.Problems[0].Message, "are the values in mm?") {
		t.Errorf("reported %+v", r.Problems)
	}
}

// Readings that contradict each other, with no evidence for which is wrong, are
// all set aside and reported once.
func TestUndecided(t *testing.T) {
	r := run(t, read(t, "maker,part,element_mass_g,media_mass_g\nSkerrow,SK 1204,16.1,25.0\n"))
	if len(r.Problems) != 1 || !strings.Contains(r.Problems[0].Message, "nothing says which of media mass and element mass is off") {
		t.Errorf("reported %+v", r.Problems)
	}
	if len(r.SetAside) != 2 {
		t.Errorf("set aside %v", r.SetAside)
	}
}

// Two slips in a row that no relation connects are reported as two, not as
// alternatives.
func TestSlipsThatNothingRelatesStandApart(t *testing.T) {
	r := run(t, read(t, "maker,part,media_area_in2,pleats,total_mass_g\nSkerrow,S0,98.4,61,189.4\nSkerrow,S1,8665,72.34,203\nLowmere,L2,93.8,64,195.8\n"))
	area := only(r, "media_area")
	if len(area) != 1 || strings.Contains(area[0].Message, "pleats") || !strings.Contains(area[0].Message, "86.65") {
		t.Errorf("said of the media area: %+v", area)
	}
	if pleats := only(r, "pleats"); len(pleats) != 1 {
		t.Errorf("said of the pleats: %+v", pleats)
	}
}
