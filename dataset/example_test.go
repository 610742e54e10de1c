package dataset_test

import (
	"fmt"
	"strings"

	"pleatstat/dataset"
)

// Makers, parts and figures are invented.
const bench = `Date,Brand,Part #,Price,Can gauge (mm),Media length,Height of element (in),Pleats,Media weight (g)
2024-03-08,Skerrow,SK-10,$8.99,0.47; 0.48; 0.48,"38 1/2""",1.56,53,7.9
2024-03-15,Thornquay,TQ-7,$12.50,0.6,58.5 in,1.38,70,9.6
2024-04,Veldmarsh,V-200,$6.25,O.4,30⅛ in,1.5,44,n/a
`

func ExampleRead() {
	log, err := dataset.Read(strings.NewReader(bench), "bench.csv", dataset.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range log.Problems() {
		fmt.Printf("%s line %d, column %d: %q %s\n", p.File, p.Line, p.Column, p.Text, p.Message)
	}
	units := log.Units()
	for row, area := range log.Floats("media_area") {
		fmt.Printf("%s: %s, %s\n", log.Strings("part")[row], units.Format("media_area", area), units.Format("can_gauge", log.Floats("can_gauge")[row]))
	}
	// Output:
	// bench.csv line 4, column 5: "O.4" is not a number; perhaps 0.4 (a letter where a digit should stand)
	// SK-10: 60.1 in², 0.48 mm
	// TQ-7: 80.7 in², 0.60 mm
	// V-200: 45.2 in², –
}

func ExampleLog_Cell() {
	log, err := dataset.Read(strings.NewReader(bench), "bench.csv", dataset.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	cell, _ := log.Cell(0, "can_gauge")
	fmt.Printf("line %d, column %d: %q is %.4f mm\n", cell.Line, cell.Column, cell.Text, cell.Value)
	// Output:
	// line 2, column 5: "0.47; 0.48; 0.48" is 0.4767 mm
}

func ExampleConvert() {
	mm, _ := dataset.Convert(38.5, "in", "mm")
	fmt.Println(mm)
	_, err := dataset.Convert(1, "mm", "g")
	fmt.Println(err)
	// Output:
	// 977.9
	// mm and g measure different things
}
