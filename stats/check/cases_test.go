package check

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"pleatstat/dataset"
)

// bench is a small clean log with one opening of each of a dozen parts, for
// hand-made cases. Invented.
const bench = `opened,maker,part,date_code,price,can_od_mm,can_height_mm,gasket_od_mm,total_mass_g,base_plate_mass_g,element_mass_g,can_mass_g,media_mass_g,can_gauge_mm,pleats,element_width_in,element_od_mm,media_length_in,media_thickness_mm
2022-01-08,Skerrow,SK 1204,2021-W20,9.49,76.2,79.8,68.1,184.2,48.3,34.1,84.1,12.2,0.45,66,1.80,69.8,52.3,0.62
2022-01-15,Thornquay,T-310,2021-05,8.99,74.1,72.3,66.0,168.9,44.0,31.9,75.8,10.1,0.45,68,1.52,68.0,51.4,0.64
2022-01-22,Veldmarsh,VM2110,,11.29,78.0,84.1,70.2,205.3,52.1,38.6,97.0,14.0,0.48,64,1.99,71.9,54.0,0.55
2022-01-29,Pellbrook,PB-52,,7.99,70.3,70.2,62.0,152.3,41.2,27.8,65.9,9.2,0.43,67,1.41,64.1,48.9,0.67
2022-02-05,Orrinvale,OV 704,,10.19,76.4,88.0,68.3,199.9,47.2,40.2,93.9,14.4,0.46,60,2.17,70.3,50.6,0.60
2022-02-12,Lowmere,L4015,,8.49,74.3,76.1,66.2,170.4,45.0,32.9,74.0,11.2,0.42,66,1.64,68.2,51.1,0.63
2022-02-19,Brackhollow,BH-88,,9.89,82.2,80.0,74.0,211.8,57.3,37.0,98.2,13.2,0.48,63,1.81,76.0,55.2,0.58
2022-02-26,Wexcombe,W 610,,9.19,76.0,80.4,68.2,181.0,48.0,34.4,81.2,12.0,0.43,65,1.82,70.1,51.8,0.61
2022-03-05,Skerrow,SK 1223,,8.79,74.2,74.0,66.1,172.5,45.1,32.2,77.6,10.8,0.45,67,1.58,68.1,51.9,0.65
2022-03-12,Thornquay,T-337,,10.59,78.2,86.3,70.0,206.8,51.7,39.3,97.4,14.3,0.47,62,2.08,72.2,52.8,0.57
2022-03-19,Veldmarsh,VM2146,,9.39,76.1,82.0,67.9,187.2,48.8,35.0,85.1,12.5,0.45,64,1.89,69.9,51.2,0.63
2022-03-26,Pellbrook,PB-65,,8.29,70.1,74.4,62.1,158.8,41.0,29.3,71.2,10.3,0.44,65,1.57,64.0,49.3,0.64
`

// alter changes one cell of the bench: line of the file, column, new text.
type alter struct {
	line         int
	column, text string
}

func altered(t *testing.T, changes ...alter) *dataset.Log {
	t.Helper()
	records, err := csv.NewReader(strings.NewReader(bench)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range changes {
		at := slices.IndexFunc(records[0], func(h string) bool { return strings.HasPrefix(h, c.column) })
		records[c.line-1][at] = c.text
	}
	var text bytes.Buffer
	if err := csv.NewWriter(&text).WriteAll(records); err != nil {
		t.Fatal(err)
	}
	log, err := dataset.Read(&text, "bench.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return log
}

func TestCleanBench(t *testing.T) {
	r := run(t, altered(t))
	if len(r.Problems)+len(r.Suggestions)+len(r.SetAside) != 0 {
		t.Errorf("a clean log gives %+v", r)
	}
}

// Each slip alone is reported once, at its cause.
func TestCases(t *testing.T) {
	for _, c := range []struct {
		name     string
		changes  []alter
		at       string // column the problem is reported at
		says     string // part of its message
		intended string // suggested first, "" = none
		aside    []string
	}{
		{"gauge with its point one place off", []alter{{4, "can_gauge", "4.8"}}, "can_gauge", "density of steel", "0.48", []string{"can_gauge"}},
		{"gauge in inches", []alter{{4, "can_gauge", "0.0189"}}, "can_gauge", "0.0189 in fits", "0.0189 in", []string{"can_gauge"}},
		{"gauge of another can", []alter{{4, "can_gauge", "1.30"}}, "can_gauge", "not 97.0 g", "", []string{"can_gauge"}},
		{"width in millimetres", []alter{{2, "element_width", "45.7"}}, "element_width", "wider than the can is tall (79.8 mm); 45.7 mm fits", "45.7 mm", []string{"element_width"}},
		{"length in centimetres", []alter{{3, "media_length", "130.6"}}, "media_length", "130.6 cm fits", "130.6 cm", []string{"media_length"}},
		{"total in ounces", []alter{{3, "total_mass", "5.96"}}, "total_mass", "5.96 oz fits", "5.96 oz", []string{"total_mass"}},
		{"total in kilograms", []alter{{3, "total_mass", "0.169"}}, "total_mass", "0.169 kg fits", "0.169 kg", []string{"total_mass"}},
		{"price with its point one place off", []alter{{3, "price", "89.90"}}, "price", "(the point one place off) fits", "8.99", nil},
		{"pleats with a digit too many", []alter{{5, "pleats", "670"}}, "pleats", "67 (the point one place off) fits", "67", []string{"pleats"}},
		{"media and element exchanged", []alter{{2, "element_mass", "12.2"}, {2, "media_mass", "34.1"}}, "element_mass", "heavier than its element", "34.1", []string{"element_mass", "media_mass"}},
		{"diameter and height exchanged", []alter{{6, "can_od", "88.0"}, {6, "can_height", "76.4"}, {6, "gasket_od", ""}, {6, "element_od", ""}}, "", "", "", nil},
		{"total with two digits turned round", []alter{{2, "total_mass", "148.2"}}, "total_mass", "outweigh the whole", "184.2", []string{"total_mass"}},
		{"gasket wider than the can", []alter{{2, "gasket_od", "86.1"}}, "gasket_od", "wider than the can", "68.1", []string{"gasket_od"}},
		{"element wider than the can", []alter{{2, "element_od", "98.8"}}, "element_od", "does not fit the can", "", []string{"element_od"}},
		{"media no paper has", []alter{{2, "media_mass", "0.122"}}, "media_mass", "12.2 (the point two places off) fits", "12.2", []string{"media_mass"}},
		{"media thickness with its point one place off", []alter{{2, "media_thickness", "6.2"}}, "media_thickness", "0.62 (the point one place off) fits", "0.62", []string{"media_thickness"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := run(t, altered(t, c.changes...))
			if c.at == "" {
				if len(r.Problems) != 0 {
					t.Errorf("reported %+v, though nothing tells", r.Problems)
				}
				return
			}
			if len(r.Problems) != 1 {
				t.Fatalf("%d problems, want 1: %+v", len(r.Problems), r.Problems)
			}
			p := r.Problems[0]
			if p.Line != c.changes[0].line || p.Name != c.at || !strings.Contains(p.Message, c.says) || p.Text != c.changes[0].text || p.Severity != dataset.Doubtful {
				t.Errorf("reported %+v", p)
			}
			intended := ""
			if len(r.Suggestions) > 0 {
				intended = r.Suggestions[0].Intended
			}
			if intended != c.intended {
				t.Errorf("suggested %q, want %q", intended, c.intended)
			}
			var aside []string
			for _, ref := range r.SetAside {
				if ref.Row != c.changes[0].line-2 {
					t.Errorf("set aside %+v", ref)
				}
				aside = append(aside, ref.Column)
			}
			if !slices.Equal(aside, c.aside) {
				t.Errorf("set aside %v, want %v", aside, c.aside)
			}
		})
	}
}
