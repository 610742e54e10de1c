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
	fmt.Printf("%s: %s, about %.0f times what its contents predict (%d openings)\n", part, j.Verdict, j.PremiumRatio, j.N)
	// Output:
	// Wexcombe W 792: overpriced, about 2 times what its contents predict (4 openings)
}
