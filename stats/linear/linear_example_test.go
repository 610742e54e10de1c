package linear_test

import (
	"fmt"

	"pleatstat/stats/linear"
)

// Regression of can gauge (mm) on can mass (g) for six invented parts of one size:
// a heavier can has a thicker wall.
func ExampleLeastSquares() {
	mass := []float64{58.1, 61.0, 66.4, 70.2, 74.9, 83.0}
	gauge := []float64{0.40, 0.42, 0.45, 0.48, 0.52, 0.57}
	fit, err := linear.LeastSquares(linear.Design{Names: []string{"can mass"}, Columns: [][]float64{mass}}, gauge)
	if err != nil {
		fmt.Println(err)
		return
	}
	low, high := fit.Interval(1, 0.95)
	fmt.Printf("%.4f mm per g (%.4f to %.4f), %d parts\n", fit.Coef[1], low, high, fit.N)
	at, se := fit.PredictionSE([]float64{65})
	fmt.Printf("a can of 65 g: %.3f mm, standard error of a new one %.4f mm\n", at, se)
	// Output:
	// 0.0069 mm per g (0.0064 to 0.0075), 6 parts
	// a can of 65 g: 0.446 mm, standard error of a new one 0.0047 mm
}
