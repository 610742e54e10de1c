package main

import (
	"context"
	"errors"
	"fmt"

	"pleatstat/cmd/pleatstat/internal/charts"
	"pleatstat/cmd/pleatstat/internal/logfile"
	"pleatstat/cmd/pleatstat/internal/render/logs"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/stats/check"
)

// readCharted reads the log of a command that draws, and resolves the part that its
// charts ring.
func (a *app) readCharted(ctx context.Context, path string, o logfile.Options, chart *charts.Options) (*dataset.Log, error) {
	log, err := o.Read(ctx, a.Console, path)
	if err != nil {
		return nil, err
	}
	return log, chart.Resolve(log)
}

// soundLog returns the log without the physically impossible readings and the
// impossible dates, as every fit uses it.
func (a *app) soundLog(log *dataset.Log) (*dataset.Log, error) {
	checked, err := check.Run(log, check.Options{Today: a.today})
	if err != nil {
		return nil, fmt.Errorf("checking the log: %w", err)
	}
	return log.SetAside(checked.SetAside), nil
}

// printNotices writes the notices about a log to standard error, where standard output
// has a result for other programs.
func (a *app) printNotices(log *dataset.Log) {
	for _, n := range log.Notices() {
		a.Complain(errors.New(n))
	}
}

// newText returns a writer of a run's text, which begins with the columns read and the
// notices about the log; used names the log's own columns that the run is about.
func (a *app) newText(log *dataset.Log, used ...string) *wording.Text {
	text := a.textOfColumns(log, used...)
	text.Notices(log.Notices())
	return text
}

// textOfColumns does the same without the notices.
func (a *app) textOfColumns(log *dataset.Log, used ...string) *wording.Text {
	text := a.Text()
	logs.ColumnsRead(text, log.ColumnsRead().Using(used...))
	return text
}

// pageHasFolder refuses --html without --out, the folder for the page.
func pageHasFolder(html bool, out string) error {
	if html && out == "" {
		return errors.New("--html goes with --out, the folder for the page")
	}
	return nil
}
