package dataset

import (
	"strings"
	"testing"
)

// A column is found by every name that a header for it may have and by its own
// header, but not by a misspelling.
func TestColumnsNamed(t *testing.T) {
	const text = "brand,tag no,Wall of tin (thou),shell weight g,total weight g,pleats,paper area in2,media,price,torque Nm\n" +
		"Skerrow,SK-1,18,102,301,51,88,cellulose,9.50,14\nSkerrow,SK-2,17,99,290,52,90,cellulose,9.75,15\n"
	log, err := Read(strings.NewReader(text), "log.csv", Options{Columns: []Choice{{Column: "part", Header: "tag no"}, {Column: "can_gauge", Header: "Wall of tin (thou)"}}})
	if err != nil {
		t.Fatal(err)
	}
	for typed, means := range map[string]string{
		"can_gauge": "can_gauge", "Can Gauge": "can_gauge", "can wall": "can_gauge", "wall of tin (THOU)": "can_gauge",
		"torque Nm": "torque Nm", "Torque nm": "torque Nm", "weight of can": "can_mass", "number of pleats": "pleats",
		"brand": "maker", "paper area": "media_area", "price per media area": "price_per_area",
		"gasket od": "gasket_od", // in the catalogue, but not in this log
		"mass":      "total_mass",
		"can gague": "", "": "", "?": "", "nothing": "",
	} {
		if got := log.ColumnsNamed(typed); strings.Join(got, ", ") != means {
			t.Errorf("%q means %q, want %q", typed, got, means)
		}
	}
	for slip, want := range map[string]string{"can gague": "can_gauge", "pleets": "pleats", "nothing": ""} {
		if got := NearestColumn(slip); got != want {
			t.Errorf("%q is a slip of %q, want %q", slip, got, want)
		}
	}
}
