package dataset

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/go-gota/gota/dataframe"
	"github.com/go-gota/gota/series"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/cells"
	"pleatstat/dataset/internal/problem"
	"pleatstat/dataset/internal/spelling"
	"pleatstat/dataset/internal/units"
)

// ConditionError is returned by Where for a condition that cannot be applied.
type ConditionError struct{ Condition, Reason string }

func (e *ConditionError) Error() string {
	return fmt.Sprintf("condition %q: %s", e.Condition, e.Reason)
}

// NoRowsError is returned by Where if no opening meets the conditions.
type NoRowsError struct{ Conditions []string }

func (e *NoRowsError) Error() string {
	return fmt.Sprintf("none of the openings meets %s", strings.Join(e.Conditions, " and "))
}

// Selection describes which openings of a file a log holds. The zero value
// means all.
type Selection struct {
	Conditions []string `json:"where,omitempty"`    // as given
	LeftOut    int      `json:"left_out,omitempty"` // openings that do not meet them
}

// Selection returns the conditions of Where and how many openings they left
// out.
func (l *Log) Selection() Selection { return l.selection }

// sentence describes the selection of a log that still holds the given number
// of rows.
func (s Selection) sentence(rows int) string {
	only := "Only openings with " + problem.List(s.Conditions)
	switch s.LeftOut {
	case 0:
		return only + ": all of them."
	case 1:
		return fmt.Sprintf("%s; 1 of %d is left out.", only, rows+1)
	}
	return fmt.Sprintf("%s; %d of %d are left out.", only, s.LeftOut, rows+s.LeftOut)
}

// Where returns a log of the openings that meet all conditions. A condition is
// a column, one of =, !=, <, <=, >, >=, and a value, such as thread=M18x1.5,
// can_od<=80mm or opened>=2022. A number without a unit is in the unit in which
// the log shows the column. Words allow only = and !=, ignore case, and match
// synonyms of a category and other spellings of a thread. A date may be a year,
// a month or a day, and = matches all of it; a cell that gives only a year or a
// month is compared by its middle. A blank cell meets no condition. Problems of
// the openings left out are dropped with them.
//
// Errors are of type *ConditionError or *NoRowsError.
func (l *Log) Where(conditions ...string) (*Log, error) {
	names := []string{"row"}
	var filters []dataframe.F
	for _, text := range conditions {
		name, f, err := l.condition(text)
		if err != nil {
			return nil, err
		}
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
		filters = append(filters, f...)
	}
	if len(filters) == 0 {
		return l, nil
	}
	frame, err := l.Frame(names...)
	if err != nil {
		return nil, fmt.Errorf("selecting openings: %w", err)
	}
	met := frame.FilterAggregation(dataframe.And, filters...)
	if met.Err != nil {
		return nil, fmt.Errorf("selecting openings: %w", met.Err)
	}
	if met.Nrow() == 0 {
		return nil, &NoRowsError{Conditions: conditions}
	}
	rows, err := met.Col("row").Int()
	if err != nil {
		return nil, fmt.Errorf("selecting openings: %w", err)
	}
	out := l.pick(rows)
	out.selection.Conditions = slices.Concat(l.selection.Conditions, conditions)
	out.selection.LeftOut = l.selection.LeftOut + l.Rows() - len(rows)
	return out, nil
}

// comparators lists the signs of conditions, longer ones before their prefixes.
var comparators = []struct {
	sign string
	is   series.Comparator
}{
	{"!=", series.Neq}, {"<=", series.LessEq}, {">=", series.GreaterEq}, {"=", series.Eq}, {"<", series.Less}, {">", series.Greater},
}

// ParseCondition splits a condition into its column, sign and value.
//
// Errors are of type *ConditionError.
func ParseCondition(text string) (column, sign, value string, err error) {
	if at := strings.IndexAny(text, "!<>="); at > 0 {
		for _, c := range comparators {
			if !strings.HasPrefix(text[at:], c.sign) {
				continue
			}
			column, value = strings.TrimSpace(text[:at]), strings.TrimSpace(text[at+len(c.sign):])
			if value == "" {
				return "", "", "", &ConditionError{text, "there is no value behind " + c.sign}
			}
			return column, c.sign, value, nil
		}
	}
	return "", "", "", &ConditionError{text, "write a column, one of = != < <= > >=, and a value, such as can_od<=80mm"}
}

// condition parses one condition and returns its column and the filters its
// values must pass.
func (l *Log) condition(text string) (name string, filters []dataframe.F, err error) {
	typed, sign, value, err := ParseCondition(text)
	if err != nil {
		return "", nil, err
	}
	names := l.Names()
	means := slices.DeleteFunc(slices.Clone(l.ColumnsNamed(typed)), func(m string) bool { return !slices.Contains(names, m) })
	switch len(means) {
	case 0:
		return "", nil, &ConditionError{text, fmt.Sprintf("there is no column %q in the log; %s", typed, oneNear(typed, names))}
	case 1:
		name = means[0]
	default:
		return "", nil, &ConditionError{text, fmt.Sprintf("%q may mean %s; write one of them", typed, strings.Join(means, " or "))}
	}
	var is series.Comparator
	for _, c := range comparators {
		if c.sign == sign {
			is = c.is
		}
	}
	var reason string
	known := catalogue.Facts(name)
	switch {
	case known.Kind == catalogue.KindDate:
		filters, reason = whereDate(name, is, value)
	case name == "opened_precision" || l.find(name) != nil && l.find(name).Class == cells.Texts:
		filters, reason = l.whereWord(name, is, value)
	default:
		filters, reason = l.whereNumber(name, is, value)
	}
	if reason != "" {
		return "", nil, &ConditionError{text, reason}
	}
	return name, filters, nil
}

// oneNear returns a hint: the candidate closest to the typed text, else the
// first candidates.
func oneNear(typed string, have []string) string {
	best, least := "", 4
	for _, h := range have {
		if d := spelling.Distance(strings.ToLower(typed), strings.ToLower(h), least-1); d < least && d < len(typed) {
			best, least = h, d
		}
	}
	const few = 40
	switch {
	case best != "":
		return fmt.Sprintf("did you mean %s?", best)
	case len(have) > few:
		return fmt.Sprintf("there are %s and %d more", strings.Join(have[:few], ", "), len(have)-few)
	}
	return "there are " + strings.Join(have, ", ")
}

// whereDate returns filters that compare dates with the whole of a year, month
// or day.
func whereDate(name string, is series.Comparator, value string) (filters []dataframe.F, reason string) {
	d, _, err := cellparse.ParseDate(value, cellparse.OrderUnknown)
	if err != nil || d.Precision() == "" {
		return nil, fmt.Sprintf("%q is not a date; write 2022, 2022-03 or 2022-03-08", value)
	}
	after := d.AddDays(1)
	switch d.Precision() {
	case "year":
		after = cellparse.Date{Year: d.Year + 1}
	case "month":
		after = cellparse.Date{Year: d.Year + d.Month/12, Month: d.Month%12 + 1}
	}
	from, to := d.Begin(), after.Begin()
	filter := func(is series.Comparator, year float64) dataframe.F {
		return dataframe.F{Colname: name, Comparator: is, Comparando: year}
	}
	switch is {
	case series.Eq:
		return []dataframe.F{filter(series.GreaterEq, from), filter(series.Less, to)}, ""
	case series.Neq:
		outside := func(e series.Element) bool { return e.Float() < from || e.Float() >= to }
		return []dataframe.F{{Colname: name, Comparator: series.CompFunc, Comparando: outside}}, ""
	case series.Greater:
		return []dataframe.F{filter(series.GreaterEq, to)}, ""
	case series.LessEq:
		return []dataframe.F{filter(series.Less, to)}, ""
	}
	return []dataframe.F{filter(is, from)}, ""
}

// whereWord returns filters that compare words. A word that is in no cell is
// rejected as a misspelling.
func (l *Log) whereWord(name string, is series.Comparator, value string) (filters []dataframe.F, reason string) {
	if is != series.Eq && is != series.Neq {
		return nil, fmt.Sprintf("%s holds words, which only = and != compare", name)
	}
	words := []string{"day", "month", "year"}
	if name != "opened_precision" {
		words = l.find(name).Words.List[1:]
	}
	same := func(word string) bool { return strings.EqualFold(word, value) }
	known := catalogue.Facts(name)
	if meant, ok := catalogue.Category(known, value); ok && known.Kind == catalogue.KindCategory {
		same = func(word string) bool { return strings.EqualFold(word, meant) }
	} else if name == "thread" {
		same = func(word string) bool { return cellparse.SameThread(word, value) }
	}
	if !slices.ContainsFunc(words, same) {
		return nil, fmt.Sprintf("no opening has the %s %q; %s", name, value, oneNear(value, words))
	}
	met := func(e series.Element) bool {
		word := e.String()
		return word != "" && same(word) == (is == series.Eq)
	}
	return []dataframe.F{{Colname: name, Comparator: series.CompFunc, Comparando: met}}, ""
}

// whereNumber returns filters that compare numbers in base units.
func (l *Log) whereNumber(name string, is series.Comparator, value string) (filters []dataframe.F, reason string) {
	n, err := cellparse.ParseNumber(value, cellparse.Point)
	if err != nil {
		return nil, fmt.Sprintf("%s holds numbers and %q %v", name, value, err)
	}
	base := n.Value
	shown := l.units.Of(name)
	own := strings.TrimSuffix(n.Unit, ".")
	c := catalogue.Facts(name)
	switch d, measured := c.Kind.Dimension(); {
	case own == "":
		base /= shown.PerBase
	case measured:
		u, ok := units.Find(own, d)
		if !ok {
			return nil, fmt.Sprintf("%s is a %s and %q is no unit of one; its own is %s", name, d, own, shown.Symbol)
		}
		base *= u.Base
	case c.Kind == catalogue.KindMoney && cellparse.Currency(own) == l.units.currency:
		base /= shown.PerBase
	default:
		return nil, fmt.Sprintf("%s is not measured in %q", name, own)
	}
	// Numbers that differ only by the rounding of a unit conversion count as
	// equal.
	slack := 1e-9 * math.Abs(base)
	met := func(e series.Element) bool { // false for NaN
		switch over := e.Float() - base; is {
		case series.Eq:
			return math.Abs(over) <= slack
		case series.Neq:
			return math.Abs(over) > slack
		case series.Less:
			return over < -slack
		case series.LessEq:
			return over <= slack
		case series.Greater:
			return over > slack
		default:
			return over >= -slack
		}
	}
	return []dataframe.F{{Colname: name, Comparator: series.CompFunc, Comparando: met}}, ""
}
