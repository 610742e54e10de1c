package dataset

import (
	"bytes"
	"encoding/csv"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/header"
)

var update = flag.Bool("update", false, "write the fixtures in testdata/logs again")

const fixtures = "../testdata/logs"

// fixtureHeader and fixtureRows are the small invented log that every fixture
// holds. Lengths are in sixteenths of an inch, so that fractions and decimals
// have equal values.
var fixtureHeader = []string{"opened", "maker", "part", "price_usd", "can_gauge_mm", "media_length_in", "element_width_in", "pleats",
	"media_mass_g", "total_mass_g", "can_mass_g", "can_od_mm", "media_type", "drain_back", "magnet", "claimed_efficiency_percent", "bench mark", "notes"}

const fixtureRows = `2023-01-09,Skerrow,SK-10,8.99,0.47; 0.48; 0.48,38.5,1.5,53,7.9,165.2,58.1,76.2,cellulose,silicone,no,99,3,first of the season
2023-01-16,Skerrow,SK-12,10.49,0.46,41.375,1.75,54,9.4,188.0,66.9,76.2,cellulose,silicone,no,99,3,
2023-01-23,Thornquay,TQ-7,12.5,0.6,58.5,1.3125,70,9.6,201.4,80.2,76.2,blend,nitrile,yes,98.7,4,"end cap loose, glued again"
2023-02-13,Veldmarsh,V 200,6.25,0.4,30.125,1.5,44,5.9,141.9,49.3,66.0,cellulose,nitrile,no,,2,
2023-02-27,Pellbrook,PB-3A,15.75,0.55,62.25,2.25,72,14.8,265.7,92.4,93.0,synthetic,silicone,yes,99.5,4,
2023-03-06,Orrinvale,OV-88,,0.52; 0.53,48.5,2,60,11.2,,77.0,84.5,wire-backed synthetic,silicone,no,99,,gift from the slipway
2023-11-20,Lowmere,L-1,7.8,,38.875,1.625,52,8.1,170.2,,76.2,cellulose,none,,,3,
2024-01-15,Brackhollow,BH-9,42,0.71,201.5,6.0625,96,88.3,1234.5,402.6,118.4,blend,silicone,no,98,5,"truck size"
2024-01-29,Wexcombe,WX-4,9.2,0.44,33.75,1.5,49,7,154.6,54.7,76.2,cellulose,nitrile,no,95,3,
2024-02-05,Skerrow,SK-10,9.49,0.47,38.375,1.5,53,7.8,164.7,57.9,76.2,cellulose,silicone,no,99,3,
2024-12-31,Thornquay,TQ-7,13.2,0.59,58.625,1.3125,70,9.7,200.9,79.8,76.2,blend,nitrile,yes,98.7,4,
`

func fixtureTable() [][]string {
	rows, err := csv.NewReader(strings.NewReader(fixtureRows)).ReadAll()
	if err != nil {
		panic(err)
	}
	return append([][]string{slices.Clone(fixtureHeader)}, rows...)
}

// each changes the cells of one column.
func each(table [][]string, column string, change func(string) string) {
	i := slices.Index(fixtureHeader, column)
	for _, row := range table[1:] {
		if row[i] != "" {
			row[i] = change(row[i])
		}
	}
}

func everyNumber(table [][]string, change func(string) string) {
	for _, name := range fixtureHeader[3:12] {
		each(table, name, change)
	}
	each(table, "claimed_efficiency_percent", change)
}

func rename(table [][]string, names ...string) {
	for i := 0; i < len(names); i += 2 {
		table[0][slices.Index(fixtureHeader, names[i])] = names[i+1]
	}
}

func asCSV(table [][]string, comma rune, crlf bool) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.Comma, w.UseCRLF = comma, crlf
	if err := w.WriteAll(table); err != nil {
		panic(err)
	}
	return b.Bytes()
}

func decimalComma(s string) string { return strings.ReplaceAll(s, ".", ",") }

func dateAs(layout string) func(string) string {
	return func(s string) string {
		day, err := time.Parse("2006-01-02", s)
		if err != nil {
			panic(err)
		}
		return day.Format(layout)
	}
}

// fractionOf writes a decimal number of inches as a fraction.
func fractionOf(s, gap, behind string) string {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic(err)
	}
	whole, part := int(v), int((v-float64(int(v)))*16)
	d := 16
	for part%2 == 0 && part > 0 {
		part, d = part/2, d/2
	}
	if part == 0 {
		return fmt.Sprintf("%d%s", whole, behind)
	}
	return fmt.Sprintf("%d%s%d/%d%s", whole, gap, part, d, behind)
}

func fractions(table [][]string, gap, behind string) {
	for _, name := range []string{"media_length_in", "element_width_in"} {
		each(table, name, func(s string) string { return fractionOf(s, gap, behind) })
	}
}

// variants holds the fixtures that can be made without another program.
var variants = map[string]func() []byte{
	"plain.csv":    func() []byte { return asCSV(fixtureTable(), ',', false) },
	"bom-crlf.csv": func() []byte { return append([]byte("\ufeff"), asCSV(fixtureTable(), ',', true)...) },
	"tab.tsv":      func() []byte { return asCSV(fixtureTable(), '\t', true) },
	"utf16le.txt": func() []byte {
		return encoded(unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().Bytes(asCSV(fixtureTable(), '\t', true)))
	},
	"utf16be.csv": func() []byte {
		return encoded(unicode.UTF16(unicode.BigEndian, unicode.UseBOM).NewEncoder().Bytes(asCSV(fixtureTable(), ',', false)))
	},
	"decimal-comma.csv": func() []byte {
		t := fixtureTable()
		everyNumber(t, decimalComma)
		each(t, "opened", dateAs("02.01.2006"))
		return asCSV(t, ';', true)
	},
	"decimal-comma-quoted.csv": func() []byte { // the separator is a comma, so decimals are in quotation marks
		t := fixtureTable()
		everyNumber(t, decimalComma)
		return asCSV(t, ',', false)
	},
	"windows1252.csv": func() []byte { // 1.234,5 with a thousands point, and a sign that only this encoding has
		t := fixtureTable()
		everyNumber(t, decimalComma)
		each(t, "total_mass_g", func(s string) string { return strings.Replace(s, "1234,5", "1.234,5", 1) })
		each(t, "price_usd", func(s string) string { return s + " $" })
		each(t, "opened", dateAs("2.1.06"))
		rename(t, "bench mark", "bench mark", "media_length_in", "media length – stretched (in)", "price_usd", "price")
		return encoded(charmap.Windows1252.NewEncoder().Bytes(asCSV(t, ';', true)))
	},
	"month-first.csv": func() []byte {
		t := fixtureTable()
		each(t, "opened", dateAs("1/2/2006"))
		each(t, "price_usd", func(s string) string { return "$" + s })
		each(t, "total_mass_g", func(s string) string { return strings.Replace(s, "1234.5", "1,234.5", 1) })
		fractions(t, "-", `"`)
		rename(t, "price_usd", "Price", "media_length_in", "Media Length", "element_width_in", "Height of Element", "can_gauge_mm", "Wall Thickness (mm)",
			"total_mass_g", "Total Weight [g]", "drain_back", "ADBV", "pleats", "# of Pleats", "opened", "Date", "maker", "Brand", "part", "Part #")
		return asCSV(t, ',', true)
	},
	"day-first.csv": func() []byte {
		t := fixtureTable()
		each(t, "opened", dateAs("02/01/2006"))
		fractions(t, " ", "")
		return asCSV(t, ',', false)
	},
	"vulgar-fractions.csv": func() []byte {
		t := fixtureTable()
		fractions(t, " ", "")
		for _, name := range []string{"media_length_in", "element_width_in"} {
			each(t, name, strings.NewReplacer(" 1/2", "½", " 3/8", "⅜", " 1/8", "⅛", " 5/8", "⅝", " 7/8", " ⅞", " 3/4", "¾", " 1/4", "¼").Replace)
		}
		return asCSV(t, ',', false)
	},
	"serial-dates.csv": func() []byte {
		t := fixtureTable()
		each(t, "opened", func(s string) string {
			day, _ := time.Parse("2006-01-02", s)
			return strconv.Itoa(int(day.Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24))
		})
		return asCSV(t, ',', false)
	},
	"units-in-cells.csv": func() []byte {
		t := fixtureTable()
		for i, name := range fixtureHeader {
			c, _ := header.Match(name)
			if _, ok := catalogue.Facts(c.Column).Kind.Dimension(); ok && c.Unit != "" {
				unit := strings.Replace(c.Unit, "percent", "%", 1)
				each(t, name, func(s string) string { return strings.ReplaceAll(s, ";", " "+unit+";") + " " + unit })
				t[0][i] = c.Column
			}
		}
		return asCSV(t, ',', false)
	},
	"no-units.csv": func() []byte {
		t := fixtureTable()
		for i, name := range fixtureHeader {
			if c, ok := header.Match(name); ok && c.Unit != "" && name != "price_usd" {
				t[0][i] = strings.ReplaceAll(c.Column, "_", " ")
			}
		}
		return asCSV(t, ',', false)
	},
	"titles.csv": func() []byte { // titles above, blank columns and rows
		t := fixtureTable()
		for i := range t {
			t[i] = append(t[i], "", "", "")
		}
		blank := make([]string, len(t[0]))
		table := append([][]string{{"Harbour workshop: filters cut open"}, {"scale 0.1 g, micrometer 0.01 mm", "", "maker of the scale unknown"}, {}}, t...)
		return asCSV(append(slices.Insert(table, 7, blank), blank, blank, blank), ',', true)
	},
	"two-row-header.csv": func() []byte { // names above, units below
		t := fixtureTable()
		below := make([]string, len(t[0]))
		for i, name := range fixtureHeader {
			if c, ok := header.Match(name); ok && c.Unit != "" {
				t[0][i], below[i] = strings.ReplaceAll(c.Column, "_", " "), c.Unit
			}
		}
		return asCSV(slices.Insert(t, 1, below), ',', false)
	},
	"grouped-header.csv": func() []byte { // groups above, quantities below
		t := fixtureTable()
		above := make([]string, len(t[0]))
		for name, split := range map[string][2]string{"media_length_in": {"Media", "length (in)"}, "media_mass_g": {"Media", "mass (g)"}, "media_type": {"Media", "type"},
			"can_gauge_mm": {"Can", "gauge (mm)"}, "can_mass_g": {"Can", "mass (g)"}, "can_od_mm": {"", "OD (mm)"}, "total_mass_g": {"Whole", "total mass (g)"},
			"element_width_in": {"Element", "width (in)"}, "pleats": {"Pleats", ""}, "drain_back": {"Valve", "drain back"}, "magnet": {"Magnet", ""}} {
			i := slices.Index(fixtureHeader, name)
			above[i], t[0][i] = split[0], split[1]
		}
		return asCSV(slices.Insert(t, 0, above), ',', false)
	},
	"pasted.csv": func() []byte { // two logs pasted together, so the header is repeated
		t := fixtureTable()
		return asCSV(slices.Insert(t, 6, t[0]), ',', false)
	},
	"line-breaks.csv": func() []byte { // cells with readings and notes on several lines
		t := fixtureTable()
		each(t, "can_gauge_mm", func(s string) string { return strings.ReplaceAll(s, "; ", "\n") })
		each(t, "notes", func(s string) string { return strings.ReplaceAll(s, " ", "\n") })
		return asCSV(t, ',', false)
	},
}

func encoded(data []byte, err error) []byte {
	if err != nil {
		panic(err)
	}
	return data
}

// workbook writes the log as an .xlsx file with numbers, dates and a currency
// format.
func workbook(path string) error {
	book := excelize.NewFile()
	defer book.Close()
	day, err := book.NewStyle(&excelize.Style{NumFmt: 14})
	if err != nil {
		return err
	}
	dollars := `"$"#,##0.00`
	money, err := book.NewStyle(&excelize.Style{CustomNumFmt: &dollars})
	if err != nil {
		return err
	}
	percent, err := book.NewStyle(&excelize.Style{NumFmt: 9})
	if err != nil {
		return err
	}
	for r, row := range fixtureTable() {
		for c, text := range row {
			at, _ := excelize.CoordinatesToCellName(c+1, r+3) // two rows stay empty above
			var value any = text
			style := 0
			if v, err := strconv.ParseFloat(text, 64); err == nil {
				value = v
				switch fixtureHeader[c] {
				case "price_usd":
					style = money
				case "claimed_efficiency_percent":
					value, style = v/100, percent
				}
			} else if d, err := time.Parse("2006-01-02", text); err == nil {
				value, style = d, day
			}
			if r == 0 && fixtureHeader[c] == "price_usd" {
				value = "price"
			}
			if text == "" {
				continue
			}
			if err := book.SetCellValue("Sheet1", at, value); err != nil {
				return err
			}
			if style != 0 {
				if err := book.SetCellStyle("Sheet1", at, at, style); err != nil {
					return err
				}
			}
		}
	}
	return book.SaveAs(path)
}

func TestFixturesAreAsMade(t *testing.T) {
	if *update {
		if err := workbook(filepath.Join(fixtures, "workbook.xlsx")); err != nil {
			t.Fatal(err)
		}
	}
	for name, make := range variants {
		path := filepath.Join(fixtures, name)
		if *update {
			if err := os.WriteFile(path, make(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		have, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(have, make()) {
			t.Errorf("%s is not what the test makes; run the test with -update", name)
		}
	}
}

// TestVariants: every fixture reads to the same values, however it is written.
func TestVariants(t *testing.T) {
	want, err := ReadFile(filepath.Join(fixtures, "plain.csv"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if n := want.Rows(); n != 11 {
		t.Fatalf("%d rows", n)
	}
	for _, p := range want.Problems() {
		if p.Name != "bench mark" {
			t.Errorf("plain.csv: %+v", p)
		}
	}
	files, err := filepath.Glob(filepath.Join(fixtures, "*.*"))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range files {
		if slices.Contains([]string{".md"}, filepath.Ext(path)) {
			continue
		}
		t.Run(filepath.Base(path), func(t *testing.T) {
			got, err := ReadFile(path, Options{})
			if err != nil {
				t.Fatal(err)
			}
			sameValues(t, got, want)
			for _, p := range got.Problems() {
				if p.Severity == Unusable {
					t.Errorf("%+v", p)
				}
			}
		})
	}
}

// sameValues compares all columns of two logs.
func sameValues(t *testing.T, got, want *Log) {
	t.Helper()
	if got.Rows() != want.Rows() {
		t.Fatalf("%d rows, want %d", got.Rows(), want.Rows())
	}
	if !slices.Equal(got.Names(), want.Names()) {
		t.Errorf("columns %v, want %v", got.Names(), want.Names())
	}
	for _, name := range want.Names() {
		w, g := want.Floats(name), got.Floats(name)
		if len(w) != len(g) {
			t.Errorf("%s: %v, want %v", name, g, w)
			continue
		}
		for row := range w {
			if !near(g[row], w[row], 1e-12) {
				t.Errorf("%s, row %d: %v, want %v", name, row, g[row], w[row])
			}
		}
		if g, w := got.Strings(name), want.Strings(name); !slices.Equal(g, w) {
			t.Errorf("%s: %q, want %q", name, g, w)
		}
	}
	if g, w := got.Units().Currency(), want.Units().Currency(); g != w {
		t.Errorf("currency %q, want %q", g, w)
	}
	for _, name := range want.Names() {
		g, w := got.Repeatability(name), want.Repeatability(name)
		if g.DF != w.DF || !near(g.SD, w.SD, 1e-9) {
			t.Errorf("%s repeats to %+v, want %+v", name, g, w)
		}
	}
}
