package card

import (
	"errors"
	"slices"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/price"
)

// Find resolves a name to a part, or to a maker, with Part left empty. Case,
// spaces and punctuation are ignored; the start of a maker's name suffices where
// it fits nothing else. Errors: *price.AmbiguousError and *price.UnknownError,
// with the nearest names.
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
