package logfile

import (
	"fmt"
	"slices"
	"strings"

	"pleatstat/cmd/pleatstat/internal/usage"
	"pleatstat/dataset"
)

// columns is the value of --column NAME=HEADER, which may be repeated. Choices from
// the settings (preset) hold for columns that the command line does not name, and
// only in logs that have such a header.
type columns struct {
	given, preset []dataset.Choice
}

func (f *columns) Type() string { return usage.ColumnType }

func (f *columns) String() string {
	all := make([]string, len(f.given))
	for i, c := range f.given {
		all[i] = c.Column + "=" + c.Header
	}
	return strings.Join(all, ", ")
}

// Set takes one NAME=HEADER.
func (f *columns) Set(text string) error {
	c, err := choiceOf(text)
	if err == nil {
		f.given = append(f.given, c)
	}
	return err
}

// Preset takes the choices of the settings.
func (f *columns) Preset(all []string) error {
	for _, text := range all {
		c, err := choiceOf(text)
		if err != nil {
			return err
		}
		c.Optional = true
		f.preset = append(f.preset, c)
	}
	return nil
}

func choiceOf(text string) (dataset.Choice, error) {
	name, header, found := strings.Cut(text, "=")
	name, header = strings.TrimSpace(name), strings.TrimSpace(header)
	if !found || name == "" || header == "" {
		return dataset.Choice{}, fmt.Errorf("%q: want NAME=HEADER, for example part='model no'", text)
	}
	return dataset.Choice{Column: name, Header: header}, nil
}

// all returns the choices of the settings, without the columns that the command line
// names, followed by those of the command line.
func (f *columns) all() []dataset.Choice {
	kept := slices.DeleteFunc(slices.Clone(f.preset), func(p dataset.Choice) bool {
		return slices.ContainsFunc(f.given, func(g dataset.Choice) bool { return strings.EqualFold(g.Column, p.Column) })
	})
	return append(kept, f.given...)
}
