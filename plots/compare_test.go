package plots

import (
	"bytes"
	"errors"
	"math"
	"testing"
)

func TestCompareTitle(t *testing.T) {
	two, five := comparison(2, 7), comparison(5, 7)
	all, none := comparison(2, 3), comparison(2, 7)
	for i := range none.Rows {
		none.Rows[i].Beyond = false
	}
	for _, c := range []struct {
		table CompareTable
		want  string
	}{
		{two, "Skerrow CR-939 and Veldmarsh TT-120 differ most in price, media area and pleat count"},
		{five, "Five filters differ most in price, media area and pleat count"},
		{all, "Skerrow CR-939 and Veldmarsh TT-120 differ in price, media area and pleat count"},
		{none, "No difference shown between Skerrow CR-939 and Veldmarsh TT-120"},
	} {
		chart, err := Compare(c.table, harbourSource())
		if err != nil {
			t.Fatal(err)
		}
		if chart.Title != c.want {
			t.Errorf("title %q, want %q", chart.Title, c.want)
		}
	}
}

func TestCompareRefusesBadTables(t *testing.T) {
	short := comparison(3, 4)
	short.Rows[1].Text = short.Rows[1].Text[:2]
	six := comparison(5, 2)
	six.Parts = append(six.Parts, "Wexcombe AA-100")
	for _, table := range []CompareTable{{}, {Parts: []string{"Skerrow"}}, short, six} {
		if _, err := Compare(table, Source{}); err == nil || errors.Is(err, ErrNothingToDraw) {
			t.Errorf("%d parts: error %v", len(table.Parts), err)
		}
	}
	if _, err := Compare(CompareTable{Parts: []string{"Skerrow", "Lowmere"}}, Source{}); !errors.Is(err, ErrNothingToDraw) {
		t.Errorf("no rows: error %v, want ErrNothingToDraw", err)
	}
}

func TestCompareLayout(t *testing.T) {
	long := comparison(4, 30)
	long.Parts[0] = "A maker of a very long name indeed AB-123456-XYZ"
	long.Rows[0].Name = "a measure whose name is much longer than its column is wide"
	long.Rows[1].Text[2] = "1234567.89 something"
	blank := comparison(2, 2)
	blank.Rows[0].Values = []float64{math.NaN(), math.Inf(1)}
	blank.Rows[1].Values = []float64{0, -3}
	for _, table := range []CompareTable{comparison(2, 7), comparison(5, 7), comparison(3, 1), long, blank} {
		c, err := Compare(table, harbourSource())
		if err != nil {
			t.Fatal(err)
		}
		for _, size := range screenSizes() {
			checkLayout(t, c, size)
		}
	}
	c, err := Compare(long, harbourSource())
	if err != nil {
		t.Fatal(err)
	}
	b, err := Render(c, Options{Format: SVG})
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(b, []byte("more measures not shown")) {
		t.Error("rows left out are not counted")
	}
}
