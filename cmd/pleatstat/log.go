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

// readCharted reads the log of a command that draws, and finds the part that its
// charts ring.
func (a *app) readCharted(ctx context.Context, path string, o logfile.Options, chart *charts.Options) (*dataset.Log, error) {
	log, err := o.Read(ctx, a.Console, path)
	if err != nil {
		return nil, err
	}
	return log, chart.Resolve(log)
}

// soundLog is the log without the readings that are physically impossible and
// the dates that cannot be, as every fit takes it.
func (a *app) soundLog(log *dataset.Log) (*dataset.Log, error) {
	checked, err := check.Run(log, check.Options{Today: a.today})
	if err != nil {
		return nil, fmt.Errorf("checking the log: %w", err)
	}
	return log.SetAside(checked.SetAside), nil
}

// tellNotices says what has to be said of a log beside a result for programs.
func (a *app) tellNotices(log *dataset.Log) {
	for _, n := range log.Notices() {
		a.Complain(errors.New(n))
	}
}

// newText is a writer of a run's text, which begins with the columns read and
// what has to be known of the log; used are columns of the log's own that the run
// is about.
func (a *app) newText(log *dataset.Log, used ...string) *wording.Text {
	text := a.textOfColumns(log, used...)
	text.Notices(log.Notices())
	return text
}

// textOfColumns begins with the columns read only.
func (a *app) textOfColumns(log *dataset.Log, used ...string) *wording.Text {
	text := a.Text()
	logs.ColumnsRead(text, log.ColumnsRead().Using(used...))
	return text
}

// pageHasFolder refuses a page of all results without the folder it belongs in.
func pageHasFolder(html bool, out string) error {
	if html && out == "" {
		return errors.New("--html goes with --out, the folder for the page")
	}
	return nil
}
