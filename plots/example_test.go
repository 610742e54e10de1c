package plots_test

import (
	"fmt"

	"pleatstat/plots"
	"pleatstat/stats/trend"
)

// A chart is made once and drawn in as many sizes and formats as needed.
func Example() {
	fitted := &trend.Trend{
		Definition: trend.Definition{ID: "price-media_area", Response: "price", Predictor: "media_area", Scale: trend.Log},
		N:          3,
		Line:       trend.Line{Slope: 0.9, SlopeLow: 0.7, SlopeHigh: 1.1},
		Points: []trend.Point{
			{Maker: "Skerrow", Part: "SK-11", Lines: []int{2}, X: 300, Y: 5.2},
			{Maker: "Lowmere", Part: "L40", Lines: []int{3}, X: 420, Y: 7.4},
			{Maker: "Orrinvale", Part: "OV 7", Lines: []int{4}, X: 510, Y: 8.1},
		},
	}
	chart, err := plots.Trend(fitted, nil, plots.Source{File: "harbour.csv", Openings: 3})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(chart.Title)
	for _, o := range []plots.Options{{}, {Format: plots.SVG, Theme: plots.Dark, Size: plots.Size{Width: 1080, Height: 1920}}} {
		drawn, err := plots.Render(chart, o)
		fmt.Println(len(drawn) > 0, err)
	}
	// Output:
	// Twice the media area costs about 1.9 times as much; no filter costs clearly more or less
	// true <nil>
	// true <nil>
}
