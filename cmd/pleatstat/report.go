package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"regexp"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/sync/errgroup"

	"pleatstat/cmd/pleatstat/internal/charts"
	"pleatstat/cmd/pleatstat/internal/console"
	"pleatstat/cmd/pleatstat/internal/logfile"
	"pleatstat/cmd/pleatstat/internal/output"
	"pleatstat/cmd/pleatstat/internal/pages"
	"pleatstat/cmd/pleatstat/internal/render/findings"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/cmd/pleatstat/internal/usage"
	"pleatstat/dataset"
	"pleatstat/stats/report"
)

const (
	findingsText = "findings.txt"
	findingsJSON = "findings.json"
	findingsHTML = "findings.html"
)

// reportNames matches the names of the files of a report.
var reportNames = regexp.MustCompile(`^(findings\.(txt|json|html)|(prices|(trend|drift)-[a-z_-]+)\.(png|svg|pdf))$`)

type reportOptions struct {
	log     logfile.Options
	chart   charts.Options
	out     string
	json    bool
	html    bool
	noPlots bool
	per     string
	strict  bool
	seed    uint64
	claims  bool
	detail  bool
}

func (o *reportOptions) validate() error {
	return errors.Join(o.log.Validate(), o.chart.Validate(), usage.OneOf("per", o.per, "product", "opening"), pageHasFolder(o.html, o.out))
}

func (a *app) reportCommand() *cobra.Command {
	o := reportOptions{per: "product"}
	cmd := &cobra.Command{
		Use:   "report LOG [flags]",
		Short: "All findings: trends, overpriced parts, bargains, drift, slips, charts",
		Long: `report is the main job. It checks the log, fits the trends over everything
opened, flags what falls off them, follows each maker over the years and
says what the data cannot say.

With --out it writes findings.txt, findings.json and the charts into a
folder and shows the head of the findings; with --html also ` + findingsHTML + `,
one page with the answer first, every part in one table and the charts, which
needs no network. Without --out it prints the
findings (or with --json the JSON) and writes no file.

A folder may be written to again and again: files that an earlier report
wrote and nobody changed are replaced or, where no longer part of the
report, removed. A file that pleatstat did not write is never touched; the
list of what it wrote is kept in the folder as ` + output.ManifestName + `.`,
		Example: `  pleatstat report log.csv
  pleatstat report log.csv --out findings --html
  pleatstat report log.csv --out findings --format svg,png --theme dark
  pleatstat report - --json < log.csv`,
		Args: usage.OneLog,
		RunE: usage.Checked(o.validate, func(cmd *cobra.Command, args []string) error {
			return a.report(cmd.Context(), args[0], o)
		}),
	}
	f := cmd.Flags()
	f.StringVarP(&o.out, "out", "o", "", "`DIR` for findings.txt, findings.json and the charts")
	f.BoolVar(&o.json, "json", false, "print the findings as JSON")
	f.BoolVar(&o.html, "html", false, "also write "+findingsHTML+", all of it in one page")
	f.BoolVar(&o.noPlots, "no-plots", false, "leave the charts out")
	f.StringVar(&o.per, "per", o.per, "fit the lines over `POINTS`: product or opening")
	f.BoolVar(&o.strict, "strict", false, "exit with 3 where the log has unusable or doubtful readings")
	f.BoolVar(&o.detail, "detail", false, "tell the tests, the other lines and what was left out as well")
	f.BoolVar(&o.claims, "with-claims", false, "count what the box claims among the contents that prices are judged by")
	f.Uint64Var(&o.seed, "seed", 0, "`NUMBER` that seeds every resampling; the same gives the same findings")
	o.log.Bind(cmd)
	o.chart.Bind(cmd, a.Console, true)
	o.chart.BindBy(cmd)
	usage.CompleteWords(cmd, "per", "product", "opening")
	return cmd
}

func (a *app) report(ctx context.Context, path string, o reportOptions) error {
	batch := output.NewBatch("report", logfile.Inputs(a.Console, path)...)
	names := []string{findingsText, findingsJSON}
	if o.html {
		names = append(names, findingsHTML)
	}
	if err := batch.AllowFolder(o.out, reportNames, names...); err != nil {
		return err
	}
	if err := logfile.CheckMemory(a.Console, path); err != nil {
		return err
	}
	size := o.chart.In("png").Size
	defer logfile.LimitMemory(a.Console, path, size.Width, size.Height)()
	log, err := a.readCharted(ctx, path, o.log, &o.chart)
	if err != nil {
		return err
	}
	found, err := console.Work(ctx, a.Console, "fitting the trends", func() (*report.Findings, error) {
		return report.Build(ctx, log, report.Options{PerOpening: o.per == "opening", Seed: o.seed, Today: a.today, WithClaims: o.claims})
	})
	if err != nil {
		return err
	}
	if o.out != "" {
		err = a.writeReport(ctx, batch, log, found, o)
	} else {
		err = a.printFindings(found, o)
	}
	if err == nil && o.strict {
		err = logErrors(found.Problems)
	}
	return err
}

func (a *app) printFindings(found *report.Findings, o reportOptions) error {
	if o.json {
		return findings.JSON(a.Out, found)
	}
	text := a.Text()
	findings.Report(text, found, o.detail)
	return text.Err()
}

// reportFiles returns the files of a report: the findings as text and JSON, the page if
// asked for, then the charts. The findings of a long log take as long to write as its
// charts to draw, so the two run in parallel.
func reportFiles(log *dataset.Log, found *report.Findings, o reportOptions) ([]output.File, error) {
	var text, js bytes.Buffer
	var drawn []output.File
	var toDraw []charts.Named
	if !o.noPlots {
		var err error
		if toDraw, err = charts.Report(found); err != nil {
			return nil, err
		}
	}
	var group errgroup.Group
	group.Go(func() error {
		full := wording.NewText(&text, false)
		findings.Report(full, found, o.detail)
		return errors.Join(full.Err(), findings.JSON(&js, found))
	})
	if !o.noPlots {
		group.Go(func() (err error) {
			drawn, err = charts.Draw(toDraw, o.chart)
			return err
		})
	}
	var html []byte
	if o.html {
		group.Go(func() (err error) {
			sound := log.SetAside(found.SetAside) // the table of parts leaves out what the fits left out
			html, err = pages.Report(sound, found, toDraw, o.detail, o.chart)
			return err
		})
	}
	if err := group.Wait(); err != nil {
		return nil, err
	}
	files := []output.File{{Name: findingsText, Data: text.Bytes()}, {Name: findingsJSON, Data: js.Bytes()}}
	if o.html {
		files = append(files, output.File{Name: findingsHTML, Data: html})
	}
	return append(files, drawn...), nil
}

// writeReport puts the findings and charts into the folder and shows the head.
func (a *app) writeReport(ctx context.Context, batch *output.Batch, log *dataset.Log, found *report.Findings, o reportOptions) error {
	files, err := console.Work(ctx, a.Console, "drawing the charts", func() ([]output.File, error) { return reportFiles(log, found, o) })
	if err != nil {
		return err
	}
	if err := errors.Join(batch.AddOwn(files...), batch.Commit(ctx)); err != nil {
		return err
	}
	if o.json {
		_, err := a.Out.Write(files[1].Data)
		return err
	}
	head := a.Text()
	findings.Head(head, found)
	head.Blank()
	head.Para(writtenTo(o.out, len(files), o.html))
	return head.Err()
}

// writtenTo returns a sentence on what the folder holds now.
func writtenTo(folder string, files int, html bool) string {
	names := []string{findingsText, findingsJSON}
	if html {
		names = append(names, findingsHTML)
	}
	switch charts := files - len(names); charts {
	case 0:
	case 1:
		names = append(names, "1 chart")
	default:
		names = append(names, fmt.Sprintf("%d charts", charts))
	}
	last := len(names) - 1
	return fmt.Sprintf("Written to %s: %s and %s.", folder, strings.Join(names[:last], ", "), names[last])
}

// logErrors returns the error of a log with unusable or doubtful readings, nil if it has
// none.
func logErrors(problems []dataset.Problem) error {
	n := 0
	for _, p := range problems {
		if p.Severity != dataset.Note {
			n++
		}
	}
	if n == 0 {
		return nil
	}
	if n == 1 {
		return &logError{"the log has one unusable or doubtful reading"}
	}
	return &logError{fmt.Sprintf("the log has %d unusable or doubtful readings", n)}
}
