package price_test

import (
	"fmt"

	"pleatstat/dataset"
	"pleatstat/stats/price"
)

func ExampleModel_Judge() {
	log, err := dataset.ReadFile("../../testdata/demo/harbour.csv", dataset.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	model, err := price.Fit(log, price.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	part, err := price.Resolve(log, "w792")
	if err != nil {
		fmt.Println(err)
		return
	}
	j, err := model.Judge(part.Maker, part.Part)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: %s, %s the usual price, about %.0f times (%d openings)\n", part, j.Grade, j.Direction, j.Ratio, j.N)
	// Output:
	// Wexcombe W 792: clear, above the usual price, about 2 times (4 openings)
}
