package check

import (
	"math"
	"strconv"
	"strings"

	"pleatstat/dataset"
)

// shower writes a value of a measure as the log's reader sees it.
type shower func(m measure, base float64) string

// show writes a value in the unit the log writes this column in.
func (t *table) show(m measure, base float64) string {
	return t.log.Units().Format(m.column(), base)
}

// asWritten is show, but for the reading of one cell, which it writes as it
// stands there: 4.1 mm, not 4.10 mm.
func (t *table) asWritten(m measure, base float64, cell dataset.Cell) shower {
	return func(other measure, v float64) string {
		from, to, ok := number(cell.Text)
		if other != m || v != base || !ok || m == price {
			return t.show(other, v)
		}
		unit := t.unitOf(cell, m)
		if unit != t.log.Units().Of(m.column()).Symbol && !strings.Contains(cell.Text, unit) {
			return t.show(other, v) // the output is wanted in other units than the log's
		}
		return strings.TrimSpace(cell.Text[from:to] + " " + unit)
	}
}

// fine writes a small difference with two digits in the column's unit.
func (t *table) fine(m measure, base float64) string {
	unit := t.log.Units().Of(m.column())
	return strings.TrimSpace(plain(base*unit.PerBase, 2) + " " + unit.Symbol)
}

// words is a measure as it is said.
func words(m measure) string { return dataset.Words(m.column()) }

// digits writes a positive number with two or three significant digits.
func digits(v float64) string {
	switch {
	case v > 1e6:
		return "over a million"
	case v >= 100:
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return strconv.FormatFloat(v, 'g', 2, 64)
}

// times says a ratio.
func times(ratio float64) string { return digits(ratio) + " times" }

// unitOf is the unit a cell is written in: its own, else the one that turns the
// number that stands there into its value, else the column's for output. "" for
// counts and money.
func (t *table) unitOf(c dataset.Cell, m measure) string {
	if c.Unit != "" {
		return c.Unit
	}
	column, _ := dataset.LookUp(m.column())
	if from, to, ok := number(c.Text); ok && len(c.Readings) == 1 {
		written, err := strconv.ParseFloat(strings.Replace(c.Text[from:to], ",", ".", 1), 64)
		for _, unit := range unitNames(m.kind()) {
			size, sized := dataset.Convert(1, unit, column.Unit)
			if err == nil && sized == nil && math.Abs(written*size-c.Value) < 1e-6*c.Value {
				return unit
			}
		}
	}
	if len(unitNames(m.kind())) == 0 {
		return column.Unit
	}
	return t.log.Units().Of(m.column()).Symbol
}

// unitSize is the size of a cell's unit in base units, 1 for counts and money.
func (t *table) unitSize(c dataset.Cell, m measure) float64 {
	column, _ := dataset.LookUp(m.column())
	if size, err := dataset.Convert(1, t.unitOf(c, m), column.Unit); err == nil && size > 0 {
		return size
	}
	return 1
}

// number finds the only number of a cell: its place in the text. ok is false
// for several readings, fractions and thousands separators.
func number(text string) (from, to int, ok bool) {
	isDigit := func(i int) bool { return i >= 0 && i < len(text) && text[i] >= '0' && text[i] <= '9' }
	from = strings.IndexFunc(text, func(r rune) bool { return r >= '0' && r <= '9' })
	if from < 0 {
		return 0, 0, false
	}
	to = from
	points := 0
	for isDigit(to) || to < len(text) && (text[to] == '.' || text[to] == ',') && isDigit(to+1) {
		if !isDigit(to) {
			points++
		}
		to++
	}
	if from > 0 && text[from-1] == '.' {
		return 0, 0, false // ".47": rare, and not worth a wrong guess
	}
	rest := text[to:]
	if points > 1 || strings.ContainsAny(rest, "0123456789/;¼½¾⅛⅜⅝⅞") {
		return 0, 0, false
	}
	return from, to, true
}

// numberText is a cell's number without a unit of its own.
func numberText(c dataset.Cell) string {
	if from, to, ok := number(c.Text); ok {
		return c.Text[from:to]
	}
	return c.Text
}

// turned lists the readings with two neighbouring digits the other way round.
func turned(m measure, c dataset.Cell, value float64) []candidate {
	from, to, ok := number(c.Text)
	if !ok {
		return nil
	}
	text := c.Text[from:to]
	written, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || written <= 0 {
		return nil
	}
	var out []candidate
	for k := range len(text) - 1 {
		other, err := strconv.ParseFloat(strings.Replace(turn(text, k), ",", ".", 1), 64)
		if err != nil || other <= 0 || other == written {
			continue
		}
		out = append(out, candidate{
			kind: Transposition, digit: k, penalty: penaltyTurned, factor: other / written,
			changes: []change{{m, value * other / written}},
		})
	}
	return out
}

// turn exchanges the digit at k with the next one, over a point between them.
func turn(text string, k int) string {
	b := []byte(text)
	next := k + 1
	if b[next] == '.' || b[next] == ',' {
		next++
	}
	if b[k] == '.' || b[k] == ',' || next >= len(b) {
		return text
	}
	b[k], b[next] = b[next], b[k]
	return string(b)
}

// intended is what the cell would say without the slip, in its own style.
func (t *table) intended(c dataset.Cell, k *candidate) string {
	from, to, ok := number(c.Text)
	if k.kind == UnitSlip && k.unit != "" {
		if ok {
			return c.Text[:to] + " " + k.unit
		}
		return strings.TrimSpace(c.Text) + " " + k.unit
	}
	what := k.changes[0]
	if !ok {
		return plain(what.value/t.unitSize(c, what.m), 3)
	}
	written := c.Text[from:to]
	switch {
	case k.kind == Transposition:
		written = turn(written, k.digit)
	case isPowerOfTen(k.factor):
		written = tidy(shift(written, int(math.Round(math.Log10(k.factor)))), what.m.kind())
	default:
		written = plain(what.value/t.unitSize(c, what.m), 3)
		if strings.Contains(c.Text[from:to], ",") {
			written = strings.Replace(written, ".", ",", 1)
		}
	}
	return c.Text[:from] + written + c.Text[to:]
}

// tidy drops the zeros behind the point that nobody writes: all of a count's,
// those behind the second of a price.
func tidy(text string, kind dataset.Kind) string {
	at := strings.LastIndexAny(text, ".,")
	if at < 0 {
		return text
	}
	switch kind {
	case dataset.KindCount:
		return strings.TrimRight(strings.TrimRight(text, "0"), ".,")
	case dataset.KindMoney:
		for len(text) > at+3 && strings.HasSuffix(text, "0") {
			text = text[:len(text)-1]
		}
	}
	return text
}

// shift moves the decimal point of a written number, keeping its digits.
func shift(text string, places int) string {
	point := "."
	if strings.Contains(text, ",") {
		point = ","
	}
	whole, part, _ := strings.Cut(text, point)
	all := whole + part
	at := len(whole) + places
	for at < 1 {
		all, at = "0"+all, at+1
	}
	for at > len(all) {
		all += "0"
	}
	head := strings.TrimLeft(all[:at], "0")
	if head == "" {
		head = "0"
	}
	if at == len(all) {
		return head
	}
	return head + point + all[at:]
}

// plain writes a number with so many significant digits and no exponent.
func plain(v float64, significant int) string {
	decimals := max(0, significant-1-int(math.Floor(math.Log10(math.Abs(v)))))
	return strconv.FormatFloat(v, 'f', decimals, 64)
}

// meant says what was probably meant, and how the slip came about.
func (t *table) meant(m measure, c dataset.Cell, intended string, k *candidate) string {
	switch {
	case k.kind == UnitSlip && k.unit != "":
		return intended
	case k.kind == UnitSlip:
		return intended + " (converted twice, or the wrong way)"
	case k.kind == DecimalSlip:
		return intended + " (the point " + places(k.factor) + " off)"
	}
	return intended + " (two digits turned round)"
}

func places(factor float64) string {
	switch n := int(math.Abs(math.Round(math.Log10(factor)))); n {
	case 1:
		return "one place"
	case 2:
		return "two places"
	}
	return "three places"
}
