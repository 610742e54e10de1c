package price

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pleatstat/dataset"
	"pleatstat/stats/trend"
)

// Hostile logs give numbers or a reason why not, never a panic.
func TestHostileLogs(t *testing.T) {
	// rows is a log of n products with each row's cells from a function.
	rows := func(header string, n int, row func(i int) string) string {
		var b strings.Builder
		b.WriteString(header + "\n")
		for i := range n {
			b.WriteString(row(i) + "\n")
		}
		return b.String()
	}
	const plain = "maker,part,price,media_area_cm2"
	part := func(i int) string { return fmt.Sprintf("Skerrow,SK %d", 100+i) }
	spreadOut := func(i int) float64 { return 300 + float64(i*37%200) }
	for name, text := range map[string]string{
		"no rows that can be judged": plain + "\nSkerrow,SK 1,,\n",
		"one size":                   rows(plain, 30, func(i int) string { return fmt.Sprintf("%s,%d.50,500", part(i), 5+i%7) }),
		"one price":                  rows(plain, 30, func(i int) string { return fmt.Sprintf("%s,8.00,%g", part(i), spreadOut(i)) }),
		"one size, one price":        rows(plain, 30, func(i int) string { return part(i) + ",8.00,500" }),
		"exact rule":                 rows(plain, 30, func(i int) string { return fmt.Sprintf("%s,%.6f,%g", part(i), spreadOut(i)/60, spreadOut(i)) }),
		"two prices":                 rows(plain, 40, func(i int) string { return fmt.Sprintf("%s,%d,%g", part(i), 5+20*(i%2), spreadOut(i)) }),
		"half overpriced": rows(plain, 40, func(i int) string {
			return fmt.Sprintf("%s,%g,%g", part(i), spreadOut(i)/60*float64(1+i%2*3), spreadOut(i))
		}),
		"a price of a million": rows(plain, 30, func(i int) string {
			return fmt.Sprintf("%s,%g,%g", part(i), math.Pow(10, float64(6*(1/(i+1)))), spreadOut(i))
		}),
		"prices of next to nothing": rows(plain, 30, func(i int) string { return fmt.Sprintf("%s,0.0%d,%g", part(i), 1+i%9, spreadOut(i)) }),
		"zero and less":             rows(plain, 30, func(i int) string { return fmt.Sprintf("%s,%d,%g", part(i), i-5, spreadOut(i)) }),
		"one product":               rows(plain, 40, func(i int) string { return fmt.Sprintf("Skerrow,SK 1,%d,500", 5+i%3) }),
		"twelve products":           rows(plain, 12, func(i int) string { return fmt.Sprintf("%s,%d.%d,%g", part(i), 5+i%4, i%10, spreadOut(i)) }),
		"one day": rows("opened,"+plain, 30, func(i int) string {
			return fmt.Sprintf("2024-05-01,%s,%d,%g", part(i), 5+i%5, spreadOut(i))
		}),
		"one dated": rows("opened,"+plain, 30, func(i int) string {
			date := ""
			if i == 3 {
				date = "2024"
			}
			return fmt.Sprintf("%s,%s,%d,%g", date, part(i), 5+i%5, spreadOut(i))
		}),
		"every product opened often on one day": rows("opened,"+plain, 120, func(i int) string {
			return fmt.Sprintf("2024-05-01,%s,%d,%g", part(i%15), 5+i%7, spreadOut(i%15))
		}),
		"a slip among the openings of one": rows(plain, 60, func(i int) string {
			price := 7.0 + float64(i%5)
			if i == 31 {
				price = 799
			}
			return fmt.Sprintf("%s,%g,%g", part(i%20), price, spreadOut(i%20))
		}),
		"contents that are all one another": rows(plain+",can_mass_g,total_mass_g,can_gauge_mm", 40, func(i int) string {
			a := spreadOut(i)
			return fmt.Sprintf("%s,%g,%g,%g,%g,%g", part(i), 5+float64(i%5), a, a/5, a/2, a/1000)
		}),
		"a content that is recorded for eleven and rare words": rows(plain+",can_mass_g,media_type,magnet,drain_back", 40, func(i int) string {
			mass, media := "", []string{"cellulose", "cellulose", "blend", "synthetic", "wire-backed synthetic"}[i%5]
			if i < 11 {
				mass = fmt.Sprint(80 + i)
			}
			if i > 30 {
				media = "other"
			}
			return fmt.Sprintf("%s,%d,%g,%s,%s,no,%s", part(i), 5+i%7, spreadOut(i), mass, media, []string{"silicone", ""}[min(i, 1)])
		}),
		"names as text": rows(plain, 30, func(i int) string {
			return fmt.Sprintf("\"=cmd\u202e\",\"\u200b%d, x\",%d,%g", i, 5+i%7, spreadOut(i))
		}),
	} {
		t.Run(name, func(t *testing.T) {
			log, err := dataset.Read(strings.NewReader(text), "hostile.csv", dataset.Options{})
			if err != nil {
				t.Skip("not a log:", err)
			}
			m, err := Fit(log, Options{})
			if err != nil {
				t.Fatal(err)
			}
			for _, j := range m.All() {
				sound(t, j)
				if one, err := m.Judge(j.Maker, j.Part); err != nil {
					t.Error(err)
				} else {
					sound(t, one)
				}
			}
			if j, err := m.WhatIf(map[string]string{"media_area": "450 cm2", "price": "8", "magnet": "yes", "can_mass": "500 g"}); err != nil {
				t.Error(err)
			} else {
				sound(t, j)
			}
		})
	}
}

func sound(t *testing.T, j Judgement) {
	t.Helper()
	if j.Grade == trend.CannotSay {
		if len(j.Warnings) == 0 {
			t.Errorf("%s %s: too few, without a reason", j.Maker, j.Part)
		}
		return
	}
	for what, v := range map[string]float64{"paid": j.Price, "fair": j.Fair, "low 80": j.Low80, "high 80": j.High80, "low 95": j.Low,
		"high 95": j.High, "ratio": j.Ratio, "chance": j.ShareBelow, "base": j.Base, "area fair": j.ByArea.Expected,
		"area low": j.ByArea.Low, "area high": j.ByArea.High} {
		if math.IsNaN(j.ByArea.Expected) && strings.HasPrefix(what, "area") {
			continue // all areas are equal: no line
		}
		if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 || v == 0 && what != "chance" {
			t.Errorf("%s %s: %s is %g", j.Maker, j.Part, what, v)
		}
	}
	if j.ShareBelow > 1 || j.Low > j.Low80 || j.Low80 > j.High80 || j.High80 > j.High {
		t.Errorf("%s %s: %+v", j.Maker, j.Part, j)
	}
}

// A slip of the pen in the price of one of three openings does not make the
// product overpriced, and is reported.
func TestSlipOfThePenInAPrice(t *testing.T) {
	var b strings.Builder
	b.WriteString("maker,part,price,media_area_cm2\n")
	for i := range 45 {
		price := 8 + 0.1*float64(i%7)
		if i == 17 {
			price = 83 // for 8.30
		}
		fmt.Fprintf(&b, "Lowmere,L%d,%.2f,%d\n", 4000+i%15, price, 400+20*(i%15))
	}
	log := readCSV(t, b.String())
	j, err := fitted(t, log, Options{}).Judge("Lowmere", "L4002")
	if err != nil {
		t.Fatal(err)
	}
	if j.N != 2 || j.Price > 10 || !strings.Contains(strings.Join(j.Warnings, "\n"), "1 of its prices") {
		t.Errorf("%d openings, paid %g, %v", j.N, j.Price, j.Warnings)
	}
}
