package sheet

import (
	"fmt"
	"slices"
	"strings"
)

// Sheet is one sheet of a workbook.
type Sheet struct {
	Name   string
	Hidden bool
	part   string
}

// book is an opened workbook: .xlsx or .ods.
type book struct {
	sheets []Sheet
	read   func(wanted []Sheet) ([]*Text, error)
}

// openWorkbook reads sheets of a workbook completely: those named, separated by
// commas, or all visible ones.
//
// It reads the parts with the standard library. A spreadsheet library takes
// half a minute for the largest log, has no limit on unpacking, and
// distinguishes neither a damaged sheet from a short one nor a formula without
// a stored value from a blank cell.
func openWorkbook(data []byte, o Options) (*File, error) {
	a, err := openArchive(data, o.Unpacked)
	if err != nil {
		return nil, err
	}
	var b *book
	switch {
	case a.parts["xl/workbook.xml"] != nil || a.parts["[Content_Types].xml"] != nil && a.parts["_rels/.rels"] != nil:
		b, err = openXLSX(a)
	case a.parts["content.xml"] != nil:
		b, err = openODS(a, o.may)
	default:
		return nil, &FormatError{Reason: "this is an archive without a workbook in it; a log is a CSV file or an .xlsx or .ods workbook"}
	}
	if err != nil {
		return nil, err
	}
	wanted, err := b.choose(o.Sheets)
	if err != nil {
		return nil, err
	}
	texts, err := b.read(wanted)
	if err != nil {
		return nil, err
	}
	return &File{Texts: texts, Sheets: b.sheets}, nil
}

// may reports whether a sheet may be one of those to read.
func (o Options) may(s Sheet) bool {
	if o.Sheets == "" {
		return !s.Hidden
	}
	return s.Name == o.Sheets || slices.ContainsFunc(strings.Split(o.Sheets, ","), func(name string) bool {
		return name == s.Name || strings.TrimSpace(name) == s.Name
	})
}

// choose returns the sheets to read.
func (b *book) choose(names string) ([]Sheet, error) {
	var wanted []Sheet
	if names == "" {
		for _, s := range b.sheets {
			if !s.Hidden {
				wanted = append(wanted, s)
			}
		}
		if wanted == nil {
			return nil, &FormatError{Reason: "the workbook has no sheet that is not hidden; " + b.names() + ". Name one with --sheet"}
		}
		return wanted, nil
	}
	find := func(name string) int {
		return slices.IndexFunc(b.sheets, func(s Sheet) bool { return s.Name == name })
	}
	if i := find(names); i >= 0 { // a name may hold a comma
		return b.sheets[i : i+1], nil
	}
	for name := range strings.SplitSeq(names, ",") {
		i := find(name)
		if i < 0 {
			name = strings.TrimSpace(name)
			i = find(name)
		}
		if i < 0 {
			return nil, &FormatError{Reason: fmt.Sprintf("the workbook has no sheet %q; %s", name, b.names())}
		}
		if !slices.Contains(wanted, b.sheets[i]) {
			wanted = append(wanted, b.sheets[i])
		}
	}
	return wanted, nil
}

func (b *book) names() string {
	return "its sheets are " + SheetNames(b.sheets)
}

// SheetNames lists sheets for messages.
func SheetNames(sheets []Sheet) string {
	names := make([]string, len(sheets))
	for i, s := range sheets {
		names[i] = s.Name
		if s.Hidden {
			names[i] += " (hidden)"
		}
	}
	return strings.Join(names, ", ")
}
