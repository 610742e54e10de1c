package dataset

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

const mixedLog = `opened,maker,part,price,can_od_in,can_gauge_mm,pleats,media_type,Thread,bench no,date_code,claimed_efficiency
2021-11-06,Skerrow,SK 1,8.99,3.00,0.47; 0.48,60,blend,M18x1.5,1,2021-W40,"99 % @ 20 µm"
2022,Skerrow,SK 2,£9.99,76.2 mm,~0.5,62,cellulose,3/4-16,2,2022-W02,β20=75
2022-02,Lowmere,L1,7.50,2.75,0.41,58,,M18x1.5,1,2021-W50,95
2022-12-31,Lowmere,L1,7.90,2.75,O.41,58,blend,M20x1.5,2,,
2023-01-07,Wexcombe,W 1,,3.25,0.52; 0.53; 0.51,70,synthetic,,1,2022-W51,>90
,Wexcombe,W 2,11.00,3.25,,71,synthetic,M18x1.5,2,,
`

func TestWhere(t *testing.T) {
	l := mustRead(t, mixedLog, Options{})
	for condition, want := range map[string][]int{
		"thread=M18x1.5":          {2, 4, 7},
		"Thread = m18X1.5":        {2, 4, 7},
		"thread!=M18x1.5":         {3, 5}, // not the blank one
		"can_od<=70mm":            {4, 5},
		"can_od<=2.75":            {4, 5}, // inches, as the log shows them
		"can od>=7.62cm":          {2, 3, 6, 7},
		"Can OD (in) = 3":         {2, 3},
		"can_od!=3":               {4, 5, 6, 7},
		"opened>=2022":            {3, 4, 5, 6},
		"opened>2022":             {6},
		"opened=2022":             {3, 4, 5},
		"opened!=2022":            {2, 6}, // not the undated one
		"opened<2022-02":          {2},
		"opened<=2022-02":         {2, 4},
		"opened>2022-12":          {6},
		"opened=2022-12-31":       {5},
		"opened<2023-01-07":       {2, 3, 4, 5},
		"opened_precision=year":   {3},
		"pleats>60":               {3, 6, 7},
		"pleats>=60":              {2, 3, 6, 7},
		"pleats<60":               {4, 5},
		"price<8":                 {4, 5},
		"price>=£9.99":            {3, 7},
		"implied_gauge>0":         nil,
		"media_type=BLEND":        {2, 5},
		"media_type=paper":        {3}, // a synonym of the category
		"thread=M18 x 1,5":        {2, 4, 7},
		"made<2022":               {2, 4},
		"made=2021-W40":           nil,
		"made!=2021-10":           {3, 4, 6},
		"claimed_efficiency>=98":  {2, 3},
		"bench no=2":              {3, 5, 7},
		"line>=6":                 {6, 7},
		"pleat_depth>0":           nil,
		"wall thickness>=0.0005m": {3, 6},
		"can_gauge<=0.0005m":      {2, 3, 4},
	} {
		got, err := l.Where(condition)
		var none *NoRowsError
		var bad *ConditionError
		switch {
		case want == nil:
			if !errors.As(err, &none) && !errors.As(err, &bad) {
				t.Errorf("%s: %v, want no opening", condition, err)
			}
			continue
		case err != nil:
			t.Errorf("%s: %v", condition, err)
			continue
		}
		var lines []int
		for row := range got.Rows() {
			lines = append(lines, got.Line(row))
		}
		if !slices.Equal(lines, want) {
			t.Errorf("%s: lines %v, want %v", condition, lines, want)
		}
		if s := got.Selection(); s.LeftOut != 6-len(want) || !slices.Equal(s.Conditions, []string{condition}) {
			t.Errorf("%s: %+v", condition, s)
		}
	}
}

// A selection holds the same values as the whole log for the same lines.
func TestWhereKeepsEverythingElse(t *testing.T) {
	l := mustRead(t, mixedLog, Options{})
	all := l.SetAside([]CellRef{{Row: 2, Column: "pleats"}, {Row: 4, Column: "pleats"}})
	got, err := all.Where("bench no=1", "opened<2030")
	if err != nil {
		t.Fatal(err)
	}
	rows := []int{0, 2, 4} // in the whole log
	if got.Rows() != len(rows) || got.Products() != 3 || got.Selection().LeftOut != 3 {
		t.Fatalf("%d rows, %d products, %+v", got.Rows(), got.Products(), got.Selection())
	}
	for _, name := range l.Names() {
		v, w := all.Floats(name), got.Floats(name)
		s, u := all.Strings(name), got.Strings(name)
		for to, from := range rows {
			if v != nil && w == nil && math.IsNaN(v[from]) {
				continue // a derived measure that no selected opening has
			}
			if v != nil && v[from] != w[to] && !(math.IsNaN(v[from]) && math.IsNaN(w[to])) {
				t.Errorf("%s of line %d: %v, want %v", name, got.Line(to), w[to], v[from])
			}
			if s != nil && s[from] != u[to] {
				t.Errorf("%s of line %d: %q, want %q", name, got.Line(to), u[to], s[from])
			}
			a, _ := all.Cell(from, name)
			b, _ := got.Cell(to, name)
			if fmt.Sprint(a) != fmt.Sprint(b) {
				t.Errorf("cell %s of line %d: %v, want %v", name, got.Line(to), b, a)
			}
		}
		if all.Units().Of(name) != got.Units().Of(name) {
			t.Errorf("%s is shown otherwise", name)
		}
	}
	for to, from := range rows {
		a, b, ok := all.Made(from)
		c, d, also := got.Made(to)
		if ok != also || ok && (a != c || b != d) {
			t.Errorf("line %d was made %v to %v, want %v to %v", got.Line(to), c, d, a, b)
		}
		if k, ok := all.Claim(from); ok {
			if g, also := got.Claim(to); !also || fmt.Sprint(g) != fmt.Sprint(k) {
				t.Errorf("line %d claims %+v, want %+v", got.Line(to), g, k)
			}
		}
	}
	if r := got.Repeats("can_gauge"); len(r) != 2 || r[0].Row != 0 || r[1].Row != 2 || r[1].N != 3 {
		t.Errorf("repeats %v", r)
	}
	if got.Word(2, "maker") != "Wexcombe" || got.Product(2) != 2 || got.Precision(1) != "month" {
		t.Error("another opening stands in the third row")
	}
	for _, p := range got.Problems() {
		if p.Line == 5 {
			t.Errorf("a problem of an opening left out: %+v", p)
		}
	}
	if n := len(l.Problems()); n == 0 || len(got.Problems()) != n-1 {
		t.Errorf("%d problems of %d", len(got.Problems()), n)
	}
	again, err := got.Where("maker=Lowmere")
	if err != nil || again.Rows() != 1 || again.Selection().LeftOut != 5 || len(again.Selection().Conditions) != 3 {
		t.Errorf("a selection of a selection: %v", err)
	}
	if same, err := l.Where(); err != nil || same != l {
		t.Error("no condition makes another log")
	}
}

func TestConditionsThatCannotBeApplied(t *testing.T) {
	l := mustRead(t, mixedLog, Options{})
	for condition, want := range map[string]string{
		"can_odd<80":       "did you mean can_od?",
		"flavour=sweet":    "there are row, line",
		"thread=M18x1":     "did you mean M18x1.5?",
		"thread<M18x1.5":   "only = and != compare",
		"can_od<80kg":      "can_od is a length",
		"can_od<wide":      `can_od holds numbers and "wide"`,
		"price<5 kg":       `price is not measured in "kg"`,
		"pleats>5mm":       `pleats is not measured in "mm"`,
		"opened>=sometime": "write 2022, 2022-03 or 2022-03-08",
		"can_od":           "write a column",
		"<5":               "write a column",
		"pleats!60":        "write a column",
		"pleats>=":         "no value behind >=",
		"":                 "write a column",
	} {
		_, err := l.Where(condition)
		var bad *ConditionError
		if !errors.As(err, &bad) || !strings.Contains(bad.Reason, want) || bad.Condition != condition {
			t.Errorf("%s: %v, want %q", condition, err, want)
		}
	}
	if _, err := l.Where("pleats>100"); err == nil || !strings.Contains(err.Error(), "none of the openings meets pleats>100") {
		t.Errorf("%v", err)
	}
}
