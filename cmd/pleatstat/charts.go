package main

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"pleatstat/cmd/pleatstat/internal/output"
	"pleatstat/cmd/pleatstat/internal/render/changes"
	"pleatstat/dataset"
	"pleatstat/plots"
	"pleatstat/stats/drift"
	"pleatstat/stats/report"
)

// namedFile is a file of a folder, complete in memory.
type namedFile struct {
	name string
	data []byte
}

// namedChart is a chart and the file name it gets, without the extension.
type namedChart struct {
	name  string
	chart *plots.Chart
}

// chartSet gathers charts; those that have nothing to draw are passed over.
type chartSet struct {
	charts []namedChart
	err    error
}

func (s *chartSet) add(name string, chart *plots.Chart, err error) {
	switch {
	case errors.Is(err, plots.ErrNothingToDraw):
	case err != nil:
		s.err = errors.Join(s.err, fmt.Errorf("chart %s: %w", name, err))
	default:
		s.charts = append(s.charts, namedChart{name, chart})
	}
}

// alwaysDrawn is the measure whose drift the report draws also where nothing
// moved: thinner cans are what the eye cannot see.
const alwaysDrawn = "can_gauge"

// reportCharts are the charts of a report: each trend, the verdicts on prices, and
// the measure that each change is told by; what moved with it the drift command
// draws.
func reportCharts(f *report.Findings) ([]namedChart, error) {
	source := plots.Source{File: f.Log.File, Where: f.Log.Columns.Where.Conditions, Openings: f.Log.Used, Units: f.Units,
		From: yearOf(f.Log.FirstOpened), To: yearOf(f.Log.LastOpened)}
	var s chartSet
	for _, t := range f.Trends {
		if t.Related() { // else a sentence says so, and there is nothing to see
			chart, err := plots.Trend(t, f.Flags, source)
			s.add("trend-"+t.ID, chart, err)
		}
	}
	chart, err := plots.Prices(f.Judged, source)
	s.add("prices", chart, err)
	leads := changes.Leading(f.Drift)
	for _, measure := range measuresOf(f.Drift, func(e drift.Entry) bool {
		return e.Measure == alwaysDrawn || slices.Contains(leads, e.Measure)
	}) {
		chart, err := plots.Drift(f.Drift, measure, source)
		s.add("drift-"+measure, chart, err)
	}
	return s.charts, s.err
}

// driftCharts are one chart for each measure of the entries.
func driftCharts(entries []drift.Entry, log *dataset.Log) ([]namedChart, error) {
	var s chartSet
	for _, measure := range measuresOf(entries, func(drift.Entry) bool { return true }) {
		chart, err := plots.Drift(entries, measure, sourceOf(log))
		s.add("drift-"+measure, chart, err)
	}
	return s.charts, s.err
}

// measuresOf lists the measures of the entries that are wanted, in order of
// first appearance.
func measuresOf(entries []drift.Entry, wanted func(drift.Entry) bool) []string {
	var names []string
	for _, e := range entries {
		if wanted(e) {
			names = append(names, e.Measure)
		}
	}
	return distinct(names)
}

// yearOf is the year of an ISO date, 0 where there is none.
func yearOf(iso string) int {
	year, _ := strconv.Atoi(iso[:min(len(iso), 4)]) // "" gives 0: not said
	return year
}

// sourceOf says what a chart of a log rests on.
func sourceOf(log *dataset.Log) plots.Source {
	s := plots.Source{File: log.File(), Where: log.Selection().Conditions, Openings: log.Rows(), Units: log.Units()}
	for _, opened := range log.Floats("opened") {
		if math.IsNaN(opened) {
			continue
		}
		year := int(opened)
		if s.From == 0 || year < s.From {
			s.From = year
		}
		s.To = max(s.To, year)
	}
	return s
}

// drawAll draws every chart in every format, on each core one after another.
func drawAll(charts []namedChart, o chartOptions) ([]namedFile, error) {
	files := make([]namedFile, len(charts)*len(o.formats))
	var next atomic.Int64
	var group errgroup.Group
	for range min(runtime.GOMAXPROCS(0), len(files)) {
		group.Go(func() error {
			var painter plots.Painter
			for at := int(next.Add(1)) - 1; at < len(files); at = int(next.Add(1)) - 1 {
				c, format := charts[at/len(o.formats)], o.formats[at%len(o.formats)]
				data, err := painter.Render(c.chart, o.in(format))
				if err != nil {
					return err
				}
				files[at] = namedFile{c.name + "." + format, data}
			}
			return nil
		})
	}
	return files, group.Wait()
}

// noChart says that a chart asked for could not be drawn, and that nothing else
// was done.
func noChart(err error) error { return fmt.Errorf("no chart was drawn: %w", err) }

// addOwn stages files under the names that the command gives them in its folder.
func addOwn(batch *output.Batch, files []namedFile) error {
	for _, f := range files {
		if err := batch.AddOwn(f.name, f.data); err != nil {
			return err
		}
	}
	return nil
}

// aloneFoot stands at the foot of a chart that is drawn by itself: nothing beside
// it says what a teardown measures.
const aloneFoot = "Shows how filters are built, not how well they filter or what fits an engine"

// addChart draws one chart into a file of its own, in the format its name asks
// for.
func addChart(batch *output.Batch, path string, chart *plots.Chart, o chartOptions) error {
	format, err := formatOf(path)
	if err != nil {
		return err
	}
	options := o.in(format)
	options.Foot = aloneFoot
	data, err := plots.Render(chart, options)
	if err != nil {
		return err
	}
	return batch.Add(path, data)
}

// allowAll says, before any work is done, whether the files may be written;
// "" is no file.
func allowAll(batch *output.Batch, paths ...string) error {
	var errs []error
	for _, path := range paths {
		switch path {
		case "":
		case stdinName:
			errs = append(errs, errors.New("- stands for standard input only; name a file to write to"))
		default:
			errs = append(errs, batch.Allow(path))
		}
	}
	errs = slices.CompactFunc(errs, func(a, b error) bool { return a != nil && b != nil && a.Error() == b.Error() })
	return errors.Join(errs...)
}

// allowFolder is allowAll for the files that a command keeps, under names that
// scheme matches, in a folder of its own; "" is no folder.
func allowFolder(batch *output.Batch, dir string, scheme *regexp.Regexp, names ...string) error {
	if dir == "" {
		return nil
	}
	batch.Folder(dir, scheme)
	paths := make([]string, len(names))
	for i, name := range names {
		paths[i] = filepath.Join(dir, name)
	}
	return allowAll(batch, paths...)
}
