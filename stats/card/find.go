package card

import (
	"errors"
	"slices"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/price"
)

// Find says what a name means: a part, or with the part number left empty all of
// a maker. Case, spaces and punctuation do not count; the front of a maker's name
// will do where nothing else begins so. Errors: *price.AmbiguousError,
// *price.UnknownError, both with what is nearest.
func Find(log *dataset.Log, name string) (price.Product, error) {
	makers := makersNamed(log, name, func(maker, wanted string) bool { return maker == wanted })
	if len(makers) > 1 && slices.Contains(makers, name) {
		makers = []string{name}
	}
	found, err := price.Resolve(log, name)
	if len(makers) == 1 && (err != nil || !strings.EqualFold(found.Part, strings.TrimSpace(name))) {
		return price.Product{Maker: makers[0]}, nil
	}
	if err == nil {
		return found, nil
	}
	var several *price.AmbiguousError
	if begun := makersNamed(log, name, strings.HasPrefix); len(begun) == 1 && errors.As(err, &several) &&
		!slices.ContainsFunc(several.Candidates, func(p price.Product) bool { return p.Maker != begun[0] }) {
		return price.Product{Maker: begun[0]}, nil
	}
	return price.Product{}, err
}

// makersNamed lists the makers whose name fits, in order of first appearance.
func makersNamed(log *dataset.Log, name string, fits func(maker, wanted string) bool) []string {
	wanted := price.Folded(name)
	var out []string
	for _, m := range log.Strings("maker") {
		if m != "" && wanted != "" && fits(price.Folded(m), wanted) && !slices.Contains(out, m) {
			out = append(out, m)
		}
	}
	return out
}
