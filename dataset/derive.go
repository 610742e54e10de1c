package dataset

import "math"

// SteelDensity is the density of unalloyed sheet steel, g/cm³, as handbook
// tables give it.
const SteelDensity = 7.85

const (
	mm2PerCm2 = 100.0
	cm2PerM2  = 10000.0
	mmPerCm   = 10.0
)

// derive computes the derived measures that at least one opening has.
func (l *Log) derive() {
	in := func(name string) []float64 {
		if c := l.find(name); c != nil && c.class != texts {
			return c.num
		}
		return nil
	}
	rows := len(l.lines)
	for _, d := range derived {
		formula, needs := formulas[d.Name], formulaInputs[d.Name]
		args := make([][]float64, len(needs))
		for i, name := range needs {
			args[i] = in(name)
		}
		out := make([]float64, rows)
		x := make([]float64, len(needs))
		any := false
		for row := range out {
			for i, a := range args {
				x[i] = math.NaN()
				if a != nil {
					x[i] = a[row]
				}
			}
			v := formula(x)
			if math.IsInf(v, 0) {
				v = math.NaN()
			}
			out[row] = v
			any = any || !math.IsNaN(v)
		}
		if any {
			l.derived = append(l.derived, &column{name: d.Name, def: d, field: -1, num: out})
		}
	}
}

// formulaInputs names the columns each formula takes, in its order. Inputs that
// are derived themselves stand earlier in the list of derived columns.
var formulaInputs = map[string][]string{
	"media_area":        {"media_length", "element_width", "media_area"},
	"pleat_depth":       {"media_length", "pleats"},
	"pleat_pitch":       {"element_od", "pleats"},
	"grammage":          {"media_mass", "media_area"},
	"media_density":     {"grammage", "media_thickness"},
	"media_volume":      {"media_area", "media_thickness"},
	"can_surface":       {"can_od", "can_height"},
	"can_mass_per_area": {"can_mass", "can_surface"},
	"implied_gauge":     {"can_mass_per_area"},
	"other_mass":        {"total_mass", "base_plate_mass", "element_mass", "can_mass", "spring_mass"},
	"price_per_area":    {"price", "media_area"},
	"price_per_100g":    {"price", "total_mass"},
	"beta_ratio":        {"claimed_efficiency"},
	"inlet_open_area":   {"inlet_holes", "inlet_hole_diameter"},
}

// formulas in base units; NaN in, NaN out.
var formulas = map[string]func([]float64) float64{
	"media_area": func(x []float64) float64 {
		if a := x[0] * x[1] / mm2PerCm2; !math.IsNaN(a) {
			return a
		}
		return x[2]
	},
	"pleat_depth":       func(x []float64) float64 { return ratio(x[0], 2*x[1]) },
	"pleat_pitch":       func(x []float64) float64 { return ratio(math.Pi*x[0], x[1]) },
	"grammage":          func(x []float64) float64 { return ratio(x[0]*cm2PerM2, x[1]) },
	"media_density":     func(x []float64) float64 { return ratio(x[0]/cm2PerM2, x[1]/mmPerCm) },
	"media_volume":      func(x []float64) float64 { return x[0] * x[1] / mmPerCm },
	"can_surface":       func(x []float64) float64 { return (math.Pi*x[0]*x[1] + math.Pi/4*x[0]*x[0]) / mm2PerCm2 },
	"can_mass_per_area": func(x []float64) float64 { return ratio(x[0], x[1]) },
	"implied_gauge":     func(x []float64) float64 { return x[0] / SteelDensity * mmPerCm },
	"other_mass": func(x []float64) float64 {
		spring := x[4]
		if math.IsNaN(spring) {
			spring = 0
		}
		return x[0] - x[1] - x[2] - x[3] - spring
	},
	"price_per_area": func(x []float64) float64 { return ratio(100*x[0], x[1]) },
	"price_per_100g": func(x []float64) float64 { return ratio(100*x[0], x[1]) },
	// ISO 16889 and ISO 4548-12: the ratio of the counts before and behind the
	// filter, of which efficiency is the complement of the inverse.
	"beta_ratio": func(x []float64) float64 {
		if x[0] < 0 || x[0] >= 100 {
			return math.NaN() // a claim of 100 % has no finite ratio
		}
		return 100 / (100 - x[0])
	},
	"inlet_open_area": func(x []float64) float64 { return x[0] * math.Pi / 4 * x[1] * x[1] },
}

// ratio is a/b, NaN where b is not positive.
func ratio(a, b float64) float64 {
	if !(b > 0) {
		return math.NaN()
	}
	return a / b
}
