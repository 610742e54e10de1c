package dataset

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/cells"
)

// RateError is returned for an exchange rate that cannot be used.
type RateError struct{ Text, Reason string }

func (e *RateError) Error() string {
	return fmt.Sprintf("rate %q: %s; write for example EUR=0.86 where one EUR is 0.86 of the log's currency", e.Text, e.Reason)
}

// ParseRates parses exchange rates such as "EUR=0.86": the value of one unit of
// the named currency in the main currency of the log. Errors are of type
// *RateError.
func ParseRates(texts []string) (map[string]float64, error) {
	rates := map[string]float64{}
	for _, text := range texts {
		name, value, found := strings.Cut(text, "=")
		sign := cellparse.Currency(name)
		rate, err := strconv.ParseFloat(strings.TrimSpace(value), 64)
		switch {
		case !found:
			return nil, &RateError{text, "has no ="}
		case sign == "":
			return nil, &RateError{text, fmt.Sprintf("%q is no currency that is known", strings.TrimSpace(name))}
		case err != nil:
			return nil, &RateError{text, fmt.Sprintf("%q is not a number", strings.TrimSpace(value))}
		case !(rate > 0) || math.IsInf(rate, 0):
			return nil, &RateError{text, "a rate is above zero"}
		}
		if other, twice := rates[sign]; twice && other != rate {
			return nil, &RateError{text, "the same currency has another rate as well"}
		}
		rates[sign] = rate
	}
	return rates, nil
}

// rateOf returns the exchange rate of a row's price: the one in the row's rate
// column, else the one given for the whole log. It returns 0 if there is
// neither, or if the row's own rate is not above zero, which it reports.
func (l *Log) rateOf(row int, currency string, rates map[string]float64) float64 {
	if c := l.byName[catalogue.RateColumn]; c != nil && c.Class == cells.Numbers {
		switch rate := c.Num[row]; {
		case rate > 0:
			return rate
		case !math.IsNaN(rate):
			l.report(c, int(l.lines[row]), fmt.Sprint(rate), Unusable, "a rate is above zero: what one of the price's currency is in the log's; the price is left out")
			return 0
		}
	}
	return rates[currency]
}
