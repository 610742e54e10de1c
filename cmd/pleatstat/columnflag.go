package main

import (
	"fmt"
	"strings"

	"pleatstat/dataset"
)

// columnFlag is --column NAME=HEADER, given as often as needed. What stands in
// the settings holds for the columns the command line does not name, and only in
// logs that have such a header.
type columnFlag struct {
	given, preset []dataset.Choice
}

func (f *columnFlag) Type() string { return "column" }

func (f *columnFlag) String() string {
	all := make([]string, len(f.given))
	for i, c := range f.given {
		all[i] = c.Column + "=" + c.Header
	}
	return strings.Join(all, ", ")
}

// Set takes one NAME=HEADER.
func (f *columnFlag) Set(text string) error {
	c, err := choiceOf(text)
	if err == nil {
		f.given = append(f.given, c)
	}
	return err
}

// Preset takes what stands in the settings.
func (f *columnFlag) Preset(all []string) error {
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

// choices are those of the settings without the columns that the command line
// names, then those of the command line.
func (f *columnFlag) choices() []dataset.Choice {
	var out []dataset.Choice
	for _, p := range f.preset {
		named := false
		for _, g := range f.given {
			named = named || strings.EqualFold(g.Column, p.Column)
		}
		if !named {
			out = append(out, p)
		}
	}
	return append(out, f.given...)
}
