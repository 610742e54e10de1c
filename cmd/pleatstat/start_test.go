package main

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
)

func TestStartOnTheDemo(t *testing.T) {
	r := call("", "start", demoLog)
	want(t, r, exitDone)
	wantOutput(t, r,
		"harbour.csv: 260 filters by 8 makers, 60 different parts",
		"can_gauge_mm can gauge mm 228 of 260",
		"What the market charges for an area of media, and which part is off it (60 parts): pleatstat report",
		"Clearly above what their contents usually cost: Veldmarsh VM2146 (£37, about £14 is usual), Thornquay T-385",
	)
	for _, not := range []string{"Not used", "Not yet", "one column more", "NaN"} {
		if strings.Contains(r.stdout, not) {
			t.Errorf("the page says %q", not)
		}
	}
	if n := strings.Count(r.stdout, "\n"); n > 75 {
		t.Errorf("the page has %d lines", n)
	}
}

// A log with headers of its own: what was understood, what was not, and what is missing.
func TestStartOnASheetOfOnesOwn(t *testing.T) {
	var log strings.Builder
	log.WriteString("brand,model no,cost each,paper len (in),wall (thou),width mm,where bought\n")
	for i := range 14 {
		fmt.Fprintf(&log, "Skerrow,SK-%d,%.2f,%.1f,%d,76,quay\n", i, 6+0.5*float64(i), 30+2*float64(i), 16+i%5)
	}
	r := call(log.String(), "start", "-")
	want(t, r, exitDone)
	wantOutput(t, r,
		"model no part all", "wall (thou) can gauge thou all", "paper len (in) media length in all",
		"'width mm' may be element_width or can_od, and its middle value, 76, does not tell; it is not used. Say --column element_width='width mm' or --column can_od='width mm'.",
		"'where bought' (words, all)",
		"Element width (width of the media between its potted edges, the height oil can pass; the usable area comes from it): what the market charges for an area of media, and which part is off it. 14 parts have the rest.",
		"How two parts differ (14 parts): pleatstat compare",
		"Of 14 parts Skerrow SK-4 has the highest can gauge: 20 thou.",
	)
	r = call(log.String(), "start", "-", "--column", "paper W=width mm", "--json")
	want(t, r, exitDone)
	var page struct {
		Schema  string
		Columns []struct {
			Column, Header, Unit string
			Filled               int
		}
		Questions []struct {
			ID       string
			Answered bool
			Have     int
		}
		First struct{ Text string } `json:"first_finding"`
	}
	if err := json.Unmarshal([]byte(r.stdout), &page); err != nil {
		t.Fatal(err)
	}
	if page.Schema != "pleatstat/start/1" || len(page.Columns) != 6 || page.Columns[5].Column != "element_width" || page.Columns[5].Filled != 14 {
		t.Errorf("%+v", page)
	}
	if !page.Questions[0].Answered || page.Questions[0].Have != 14 || !strings.HasPrefix(page.First.Text, "Twice the media area costs about 2.2 times as much.") {
		t.Errorf("%+v", page)
	}
}
