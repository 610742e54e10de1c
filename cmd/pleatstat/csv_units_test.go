package main

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// tableOf returns the header and the rows of a CSV file.
func tableOf(t *testing.T, path string) (header []string, rows [][]string) {
	t.Helper()
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	all, err := csv.NewReader(file).ReadAll()
	if err != nil || len(all) < 2 {
		t.Fatalf("%s: %d rows, %v", path, len(all), err)
	}
	return all[0], all[1:]
}

// Tables are in the log's units, which their headings name, or in those of --units,
// converted by 1 in = 25.4 mm exactly (international yard and pound agreement, 1959),
// and have no digits beyond those of the readings.
func TestTablesNameTheirUnits(t *testing.T) {
	own, metric := filepath.Join(t.TempDir(), "own"), filepath.Join(t.TempDir(), "metric")
	want(t, call("", "roundup", demoLog, "--year", "2025", "--out", own, "--no-plots"), exitDone)
	want(t, call("", "roundup", demoLog, "--year", "2025", "--out", metric, "--no-plots", "--units", "metric"), exitDone)
	for file, c := range map[string]struct {
		own, metric string
		times       float64 // from the log's unit to the metric one
	}{
		"best-value.csv":  {"value (£ per 10 in²)", "value (£ per 100 cm²)", 100 / (10 * 2.54 * 2.54)},
		"media-area.csv":  {"value (in²)", "value (cm²)", 2.54 * 2.54},
		"pleat-depth.csv": {"value (in)", "value (mm)", 25.4},
		"can-gauge.csv":   {"value (mm)", "value (mm)", 1},
	} {
		header, rows := tableOf(t, filepath.Join(own, file))
		otherHeader, others := tableOf(t, filepath.Join(metric, file))
		if header[5] != c.own || otherHeader[5] != c.metric || len(rows) != len(others) {
			t.Errorf("%s is headed %q and %q", file, header[5], otherHeader[5])
		}
		for i := range rows {
			a, b := float(t, rows[i][5]), float(t, others[i][5])
			tolerance := math.Pow(0.1, places(rows[i][5]))*c.times + math.Pow(0.1, places(others[i][5]))
			if strings.Join(rows[i][3:5], " ") == strings.Join(others[i][3:5], " ") && math.Abs(a*c.times-b) > tolerance {
				t.Errorf("%s, %v: %g and %g", file, rows[i][3:5], a, b)
			}
		}
	}
	// No number of any table has more than five significant digits, except p and q.
	long := regexp.MustCompile(`[1-9]\.?(\d\.?){5,}`)
	files, err := filepath.Glob(filepath.Join(own, "*.csv"))
	if err != nil || len(files) < 8 {
		t.Fatalf("%d tables, %v", len(files), err)
	}
	for _, file := range files {
		header, rows := tableOf(t, file)
		for _, row := range rows {
			for i, cell := range row {
				if _, err := strconv.ParseFloat(cell, 64); err == nil && header[i] != "p" && header[i] != "q" && long.MatchString(cell) {
					t.Errorf("%s, %s: %s", filepath.Base(file), header[i], cell)
				}
			}
		}
	}
}

func float(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// places returns the number of digits after the point.
func places(s string) float64 {
	_, digits, _ := strings.Cut(s, ".")
	return float64(len(digits))
}

// A change that the text states in per cent is in per cent in the table too.
func TestDriftTableInItsUnits(t *testing.T) {
	file := filepath.Join(t.TempDir(), "drift.csv")
	want(t, call("", "drift", demoLog, "--csv", file), exitDone)
	header, rows := tableOf(t, file)
	if header[3] != "unit" || header[6] != "per_year (in the unit)" {
		t.Fatalf("the table is headed %q", header)
	}
	units := map[string]string{"media_area": "in²", "media_length": "in", "can_gauge": "mm", "price": "%", "pleats": ""}
	most := map[string]float64{}
	for _, row := range rows {
		if unit, ok := units[row[2]]; ok && row[3] != unit {
			t.Errorf("%s is in %q", row[2], row[3])
		}
		if row[1] == "" && row[6] != "" {
			most[row[2]] = max(most[row[2]], math.Abs(float(t, row[6])))
		}
	}
	// The demo's prices rise by a few per cent a year, its cans by hundredths of a millimetre.
	if most["price"] < 0.1 || most["price"] > 20 || most["can_gauge"] > 0.05 {
		t.Errorf("the largest changes a year are %v", most)
	}
}
