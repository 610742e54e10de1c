package charts

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/console"
	"pleatstat/cmd/pleatstat/internal/logfile"
	"pleatstat/cmd/pleatstat/internal/usage"
	"pleatstat/dataset"
	"pleatstat/plots"
	"pleatstat/stats/price"
)

// The accepted values of --format and --theme.
var (
	chartFormats = []string{"png", "svg", "pdf"}
	chartThemes  = []string{"light", "dark"}
)

// Options are the chart flags of every command that draws.
type Options struct {
	formats     []string
	size        string
	theme       string
	Transparent bool // draw no background
	highlight   string
	by          string
}

// Bind adds --size, --theme and --highlight and, for commands that name their charts
// themselves, --format.
func (o *Options) Bind(cmd *cobra.Command, c *console.Console, withFormat bool) {
	f := cmd.Flags()
	if withFormat {
		f.StringSliceVar(&o.formats, "format", []string{"png"}, "chart `FORMAT`: png, svg, pdf; several with commas")
		usage.CompleteWords(cmd, "format", chartFormats...)
	}
	f.StringVar(&o.size, "size", "1920x1080", "chart size `WxH` in pixels, width first")
	f.StringVar(&o.theme, "theme", "light", "chart colours, `THEME` light or dark")
	usage.CompleteWords(cmd, "theme", chartThemes...)
	f.StringVar(&o.highlight, "highlight", "", "ring and name `PART` in every chart that shows it")
	logfile.Complete(cmd, c, "highlight", logfile.Products)
}

// BindBy adds --by, for commands whose charts show products of several makers.
func (o *Options) BindBy(cmd *cobra.Command) {
	cmd.Flags().StringVar(&o.by, "by", "", "give the marks of a trend a shape for each `GROUP`: maker")
	usage.CompleteWords(cmd, "by", "maker")
}

// Resolve replaces the name of the part to highlight by its spelling in the log.
func (o *Options) Resolve(log *dataset.Log) error {
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

// Validate checks the values of the flags and drops repeated formats.
func (o *Options) Validate() error {
	var errs []error
	var once []string
	for _, f := range o.formats {
		errs = append(errs, usage.OneOf("format", f, chartFormats...))
		if f != "" && !slices.Contains(once, f) {
			once = append(once, f)
		}
	}
	o.formats = once
	if _, err := plots.ParseSize(o.size); err != nil {
		errs = append(errs, fmt.Errorf("--size: %w", err))
	}
	if o.by != "" {
		errs = append(errs, usage.OneOf("by", o.by, "maker"))
	}
	return errors.Join(append(errs, usage.OneOf("theme", o.theme, chartThemes...))...)
}

// In returns the drawing options for one format.
func (o *Options) In(format string) plots.Options {
	size, _ := plots.ParseSize(o.size) // validated
	return plots.Options{Size: size, Format: plots.Format(format), Theme: plots.Theme(o.theme), Transparent: o.Transparent,
		Highlight: o.highlight, ByMaker: o.by == "maker"}
}

// Dark reports whether the dark theme was chosen.
func (o *Options) Dark() bool { return o.theme == string(plots.Dark) }

// WithHighlight returns the options with a part highlighted, unless the user highlights
// another.
func (o Options) WithHighlight(maker, part string) Options {
	if o.highlight == "" {
		o.highlight = price.Product{Maker: maker, Part: part}.String()
	}
	return o
}

// CheckFile checks that the name of a chart file ends in a known format; an empty path
// means no file.
func CheckFile(path string) error {
	if path == "" {
		return nil
	}
	_, err := formatOf(path)
	return err
}

// formatOf returns the chart format that the name of a file ends in.
func formatOf(path string) (string, error) {
	ext := strings.ToLower(strings.TrimPrefix(filepath.Ext(path), "."))
	if !slices.Contains(chartFormats, ext) {
		return "", fmt.Errorf("chart file %q: the name must end in .%s", path, strings.Join(chartFormats, ", ."))
	}
	return ext, nil
}
