package coverage

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"pleatstat/dataset"
	"pleatstat/stats/report"
)

func of(t *testing.T, text string) *Coverage {
	t.Helper()
	log, err := dataset.Read(strings.NewReader(text), "log.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	found, err := report.Build(context.Background(), log, report.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return Of(log, found)
}

func question(t *testing.T, c *Coverage, id string) Question {
	t.Helper()
	for _, q := range c.Questions {
		if q.ID == id {
			return q
		}
	}
	t.Fatalf("no question %s", id)
	return Question{}
}

func TestCoverage(t *testing.T) {
	var log strings.Builder
	log.WriteString("maker,part,price,paper len (in),can wall (mm),can wt g,slipway\n")
	for i := range 20 {
		wall := fmt.Sprintf("%.2f", 0.35+0.01*float64(i%9))
		if i >= 15 {
			wall = ""
		}
		fmt.Fprintf(&log, "Skerrow,S%d,%.2f,%.1f,%s,%.1f,quay\n", i, 6+0.4*float64(i)+float64(i%3), 30+float64(i), wall, 45+1.1*float64(i%9)+0.2*float64(i%4))
	}
	c := of(t, log.String())
	if len(c.Columns) != 6 || c.Columns[4].Column != "can_gauge" || c.Columns[4].Header != "can wall (mm)" || c.Columns[4].Filled != 15 || c.Columns[4].Unit != "mm" {
		t.Errorf("columns %+v", c.Columns)
	}
	if len(c.Own) != 1 || c.Own[0].Header != "slipway" || c.Own[0].Numbers || c.Own[0].Filled != 20 {
		t.Errorf("own columns %+v", c.Own)
	}
	if q := question(t, c, "can_gauge-can_mass"); !q.Answered || q.Have != 15 || q.Without != nil {
		t.Errorf("%+v", q)
	}
	if q := question(t, c, "price-media_area"); q.Answered || len(q.Without) != 1 || q.Without[0] != "element_width" || q.Needed < 2 {
		t.Errorf("%+v", q)
	}
	if q := question(t, c, "compare"); !q.Answered || q.Have != 20 {
		t.Errorf("%+v", q)
	}
	if q := question(t, c, "roundup"); q.Answered || q.Without[0] != "opened" {
		t.Errorf("%+v", q)
	}
	got := fmt.Sprintf("%+v", c.OneMore)
	if want := "[{Column:opened Questions:[drift roundup] Rest:20} {Column:element_width Questions:[price-media_area] Rest:20} {Column:pleats Questions:[media_length-pleats] Rest:20}]"; got != want {
		t.Errorf("one more: %s\nwant %s", got, want)
	}
}

// The demo log lacks nothing.
func TestCoverageOfTheDemo(t *testing.T) {
	log, err := dataset.ReadFile("../../testdata/demo/harbour.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	found, err := report.Build(context.Background(), log, report.Options{})
	if err != nil {
		t.Fatal(err)
	}
	c := Of(log, found)
	for _, q := range c.Questions {
		if !q.Answered || q.Have == 0 {
			t.Errorf("%+v", q)
		}
	}
	if c.OneMore != nil || len(c.Columns) < 30 {
		t.Errorf("%d columns, one more: %+v", len(c.Columns), c.OneMore)
	}
}

func TestCoverageOfOneOpening(t *testing.T) {
	c := of(t, "maker,part,torque\nSkerrow,SK-1,12\n")
	for _, q := range c.Questions {
		if q.Answered {
			t.Errorf("%+v is answered by one opening", q)
		}
	}
	if len(c.Own) != 1 || !c.Own[0].Numbers {
		t.Errorf("own columns %+v", c.Own)
	}
	if got := fmt.Sprintf("%+v", *c.Most); got != "{Column:torque Maker:Skerrow Part:SK-1 Value:12 Products:1 Lines:[2]}" {
		t.Error(got)
	}
}

func TestMostIsAMeanOverOpenings(t *testing.T) {
	c := of(t, "maker,part,pleats,can_gauge_mm\nSkerrow,SK-1,60,0.4\nSkerrow,SK-1,40,\nSkerrow,SK-2,55,\n")
	if got := fmt.Sprintf("%+v", *c.Most); got != "{Column:pleats Maker:Skerrow Part:SK-2 Value:55 Products:2 Lines:[4]}" {
		t.Error(got)
	}
}
