package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"pleatstat/dataset"
	"pleatstat/plots"
	"pleatstat/stats/price"
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
	highlight   string
	by          string
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
	f.StringVar(&o.highlight, "highlight", "", "ring and name `PART` in every chart that shows it")
}

// bindBy adds --by, for commands whose charts show products of several makers.
func (o *chartOptions) bindBy(cmd *cobra.Command) {
	cmd.Flags().StringVar(&o.by, "by", "", "give the marks of a trend a shape for each `GROUP`: maker")
	completeWords(cmd, "by", "maker")
}

// resolve turns the name of the part to highlight into that of the log.
func (o *chartOptions) resolve(log *dataset.Log) error {
	if o.highlight == "" {
		return nil
	}
	part, err := price.Resolve(log, o.highlight)
	if err != nil {
		return fmt.Errorf("--highlight: %w", err)
	}
	o.highlight = part.String()
	return nil
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
	if o.by != "" {
		errs = append(errs, oneOf("by", o.by, "maker"))
	}
	return errors.Join(append(errs, oneOf("theme", o.theme, chartThemes...))...)
}

// in are the drawing options for one format.
func (o *chartOptions) in(format string) plots.Options {
	size, _ := plots.ParseSize(o.size) // validated
	return plots.Options{Size: size, Format: plots.Format(format), Theme: plots.Theme(o.theme), Transparent: o.transparent,
		Highlight: o.highlight, ByMaker: o.by == "maker"}
}

// ringing rings a part where the person asks for no other.
func (o chartOptions) ringing(p price.Product) chartOptions {
	if o.highlight == "" {
		o.highlight = p.String()
	}
	return o
}

// chartFile says what is wrong with the name of a chart's file; "" is no file.
func chartFile(path string) error {
	if path == "" {
		return nil
	}
	_, err := formatOf(path)
	return err
}

// formatOf reads the chart format off a file's name.
func formatOf(path string) (string, error) {
	ext := strings.ToLower(strings.TrimPrefix(filepath.Ext(path), "."))
	if !slices.Contains(chartFormats, ext) {
		return "", fmt.Errorf("chart file %q: the name must end in .%s", path, strings.Join(chartFormats, ", ."))
	}
	return ext, nil
}
