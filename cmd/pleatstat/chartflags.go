package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"pleatstat/plots"
)

// formats, themes: the accepted words of the chart flags.
var (
	chartFormats = []string{"png", "svg", "pdf"}
	chartThemes  = []string{"light", "dark"}
)

// chartOptions are the flags of every command that draws.
type chartOptions struct {
	formats     []string
	size        string
	theme       string
	transparent bool // draw no background
}

// bind adds --size and --theme and, where a command names its charts itself,
// --format.
func (o *chartOptions) bind(cmd *cobra.Command, withFormat bool) {
	f := cmd.Flags()
	if withFormat {
		f.StringSliceVar(&o.formats, "format", []string{"png"}, "chart `FORMAT`: png, svg, pdf; several with commas")
		completeWords(cmd, "format", chartFormats...)
	}
	f.StringVar(&o.size, "size", "1920x1080", "chart size `WxH` in pixels, width first")
	f.StringVar(&o.theme, "theme", "light", "chart colours, `THEME` light or dark")
	completeWords(cmd, "theme", chartThemes...)
}

func (o *chartOptions) validate() error {
	var errs []error
	for _, f := range o.formats {
		errs = append(errs, oneOf("format", f, chartFormats...))
	}
	o.formats = distinct(o.formats)
	if _, err := plots.ParseSize(o.size); err != nil {
		errs = append(errs, fmt.Errorf("--size: %w", err))
	}
	return errors.Join(append(errs, oneOf("theme", o.theme, chartThemes...))...)
}

// in are the drawing options for one format.
func (o *chartOptions) in(format string) plots.Options {
	size, _ := plots.ParseSize(o.size) // validated
	return plots.Options{Size: size, Format: plots.Format(format), Theme: plots.Theme(o.theme), Transparent: o.transparent}
}

// formatOf reads the chart format off a file's name.
func formatOf(path string) (string, error) {
	ext := strings.ToLower(strings.TrimPrefix(filepath.Ext(path), "."))
	if !slices.Contains(chartFormats, ext) {
		return "", fmt.Errorf("chart file %q: the name must end in .%s", path, strings.Join(chartFormats, ", ."))
	}
	return ext, nil
}
