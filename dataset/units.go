package dataset

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cells"
	"pleatstat/dataset/internal/units"
)

// Convert converts a value between two units of the same dimension: lengths
// (mm, cm, in, thou), masses (g, kg, oz, lb), areas, volumes, g/m², g/cm²,
// g/cm³ and others. Spellings such as in2, sq in and inches are accepted.
func Convert(v float64, from, to string) (float64, error) { return units.Convert(v, from, to) }

// UnitError is returned by Convert for an unknown unit and for two units of
// different dimensions.
type UnitError = units.Error

// Unit is the unit in which a column is shown.
type Unit struct {
	Symbol   string  // "in²", "mm", "$", "" for plain numbers
	PerBase  float64 // shown value = value in base units × PerBase
	Decimals int     // decimal places justified by the precision of the log
}

// Units holds the unit in which each column of a log is shown. The zero value
// shows base units.
type Units struct {
	system, currency string
	of               map[string]Unit
}

// System returns "us", "metric", or "mixed" for a log with columns in both.
func (u Units) System() string {
	if u.system == "" {
		return "metric"
	}
	return u.system
}

// Currency returns the sign or code of the log's main currency, "" if the log
// names none.
func (u Units) Currency() string { return u.currency }

// Of returns the unit in which a column is shown: the one used in the log,
// unless Options.Units sets another. For an unknown column it is a plain
// number.
func (u Units) Of(column string) Unit {
	if unit, ok := u.of[column]; ok {
		return unit
	}
	c := catalogue.Facts(column)
	symbol := c.Unit
	if c.Kind == catalogue.KindMoney {
		symbol = ""
	}
	return Unit{Symbol: symbol, PerBase: 1, Decimals: cells.DefaultDecimals}
}

// Format formats a value in base units as the log would write it: "55.1 in²",
// "0.41 mm", "$8.99", "8.99 CHF", "51" for a count, "–" for NaN and infinity.
func (u Units) Format(column string, base float64) string {
	if math.IsNaN(base) || math.IsInf(base, 0) {
		return "–"
	}
	unit := u.Of(column)
	s := strconv.FormatFloat(base*unit.PerBase, 'f', unit.Decimals, 64)
	if v, err := strconv.ParseFloat(s, 64); err == nil && v == 0 {
		s = strconv.FormatFloat(0, 'f', unit.Decimals, 64) // no "-0.00"
	}
	c := catalogue.Facts(column)
	if c.Kind == catalogue.KindMoney && u.currency != "" {
		rest := unit.Symbol[min(len(unit.Symbol), len(u.currency)):] // " per 10 in²"
		if slices.Contains([]string{"$", "€", "£", "¥"}, u.currency) {
			if len(s) > 0 && s[0] == '-' {
				return "-" + u.currency + s[1:] + rest
			}
			return u.currency + s + rest
		}
		return s + " " + u.currency + rest
	}
	if unit.Symbol == "" {
		return s
	}
	return s + " " + unit.Symbol
}

// chosen holds the output units of each value of Options.Units.
var chosen = map[string]map[units.Dimension]string{
	"us":     {units.Length: "in", units.Mass: "oz", units.Area: "in²", units.Pressure: "psi", units.Flow: "gal/min"},
	"metric": {units.Length: "mm", units.Mass: "g", units.Area: "cm²", units.Pressure: "bar", units.Flow: "L/min"},
}

// makeUnits determines the unit in which every column of the log is shown.
func (l *Log) makeUnits(override, currency string) Units {
	u := Units{currency: currency, of: map[string]Unit{}}
	u.system = override
	if override == "" {
		u.system = l.system()
	}
	for _, c := range l.columns {
		if c.Class != cells.Numbers {
			continue
		}
		shown := c.Unit
		if d, ok := c.Dimension(); ok && override != "" && chosen[override][d] != "" {
			shown, _ = units.Find(chosen[override][d], d)
		}
		unit := Unit{Symbol: shown.Symbol, PerBase: 1, Decimals: c.Decimals()}
		switch {
		case c.Def.Kind == catalogue.KindMoney:
			unit.Symbol, unit.Decimals = currency, 2
		case shown.Base != 0:
			unit.PerBase = 1 / shown.Base
			if shown.Symbol != c.Unit.Symbol { // keep the precision: a finer unit needs fewer decimals, a coarser one more
				unit.Decimals = max(0, min(int(math.Ceil(float64(unit.Decimals)+math.Log10(shown.Base/c.Unit.Base)-0.1)), 4))
			}
		}
		u.of[c.Name] = unit
	}
	for _, c := range l.derived {
		u.of[c.Name] = l.derivedUnit(c, u, override)
	}
	return u
}

// derivedUnit returns the unit of a derived measure, following the columns from
// which it is computed.
func (l *Log) derivedUnit(c *cells.Column, u Units, override string) Unit {
	us := override == "us"
	source := l.byName[c.Def.UnitOf]
	if source == nil && (c.Name == "media_area" || c.Name == "price_per_area") {
		source = l.byName["media_area"]
	}
	if override == "" && source != nil {
		us = source.Unit.System == units.US
	}
	unit := Unit{Symbol: c.Def.Unit, PerBase: 1}
	set := func(symbol string, d units.Dimension) {
		if f, ok := units.Find(symbol, d); ok {
			unit.Symbol, unit.PerBase = f.Symbol, 1/f.Base
		}
	}
	switch {
	case c.Name == "price_per_area":
		unit.Symbol = strings.TrimSpace(u.currency + " per 100 cm²")
		if us {
			in2, _ := units.Find("in²", units.Area)
			unit.Symbol, unit.PerBase = strings.TrimSpace(u.currency+" per 10 in²"), in2.Base/10 // per 100 cm² to per 10 in²
		}
	case c.Name == "price_per_100g":
		unit.Symbol = strings.TrimSpace(u.currency + " per 100 g")
	case c.Name == "inlet_open_area":
		if override == "us" {
			set("in²", units.Opening)
		}
	case c.Name == "media_volume" && us:
		set("in³", units.Volume)
	case c.Def.Kind == catalogue.KindArea && us:
		set("in²", units.Area)
	case c.Def.Kind == catalogue.KindLength || c.Def.Kind == catalogue.KindMass:
		if source != nil {
			from := u.Of(source.Name)
			unit.Symbol, unit.PerBase = from.Symbol, from.PerBase
		} else if d, _ := c.Dimension(); us {
			set(chosen["us"][d], d)
		}
	}
	unit.Decimals = cells.ThreeDigits(c.Every(max(1, c.Rows/cells.MedianSample)), unit.PerBase)
	if c.Def.Kind == catalogue.KindMoney {
		unit.Decimals = max(unit.Decimals, 2)
	}
	return unit
}

// system returns the system of units in which the log's lengths, masses and
// areas are written.
func (l *Log) system() string {
	seen := map[units.System]bool{}
	for _, c := range l.columns {
		if d, ok := c.Dimension(); ok && slices.Contains([]units.Dimension{units.Length, units.Mass, units.Area}, d) && c.Class == cells.Numbers {
			seen[c.Unit.System] = true
		}
	}
	switch {
	case seen[units.US] && seen[units.Metric]:
		return "mixed"
	case seen[units.US]:
		return "us"
	}
	return "metric"
}
