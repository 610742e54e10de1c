// Package charts chooses the charts that each command shows of its result, names
// their files, holds the flags for their look, and draws them. Package plots decides
// what a chart looks like.
package charts

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"strconv"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"pleatstat/cmd/pleatstat/internal/output"
	"pleatstat/dataset"
	"pleatstat/plots"
)

// Named is a chart with a name. The name of its file also has the number, if there is
// one.
type Named struct {
	Number int // 0 = none
	Name   string
	Chart  *plots.Chart
}

func (c Named) file(format string) string {
	if c.Number > 0 {
		return fmt.Sprintf("%02d-%s.%s", c.Number, c.Name, format)
	}
	return c.Name + "." + format
}

// set collects charts and leaves out those that have nothing to draw.
type set struct {
	charts []Named
	err    error
}

// add returns a function that takes the chart of that name, or the error of making it.
func (s *set) add(name string) func(*plots.Chart, error) {
	return func(chart *plots.Chart, err error) {
		switch {
		case errors.Is(err, plots.ErrNothingToDraw):
		case err != nil:
			s.err = errors.Join(s.err, fmt.Errorf("chart %s: %w", name, err))
		default:
			s.charts = append(s.charts, Named{Name: name, Chart: chart})
		}
	}
}

// yearOf returns the year of an ISO date, 0 if it is empty.
func yearOf(iso string) int {
	year, _ := strconv.Atoi(iso[:min(len(iso), 4)]) // "" gives 0: not known
	return year
}

// SourceOf returns what a chart of a log states as its source.
func SourceOf(log *dataset.Log) plots.Source {
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

// Draw draws every chart in every format, on all cores.
func Draw(charts []Named, o Options) ([]output.File, error) {
	files := make([]output.File, len(charts)*len(o.formats))
	var next atomic.Int64
	var group errgroup.Group
	for range min(runtime.GOMAXPROCS(0), len(files)) {
		group.Go(func() error {
			var painter plots.Painter
			for at := int(next.Add(1)) - 1; at < len(files); at = int(next.Add(1)) - 1 {
				c, format := charts[at/len(o.formats)], o.formats[at%len(o.formats)]
				data, err := painter.Render(c.Chart, o.In(format))
				if err != nil {
					return err
				}
				files[at] = output.File{Name: c.file(format), Data: data}
			}
			return nil
		})
	}
	return files, group.Wait()
}

// NotDrawn wraps the error of a chart that was asked for and cannot be drawn; the
// command writes nothing then.
func NotDrawn(err error) error { return fmt.Errorf("no chart was drawn: %w", err) }

// aloneFoot is the foot of a chart drawn on its own, where no text beside it says what
// a teardown measures.
const aloneFoot = "Shows how filters are built, not how well they filter or what fits an engine"

// Add draws one chart and stages it as the file path, in the format that its name
// ends in.
func Add(batch *output.Batch, path string, chart *plots.Chart, o Options) error {
	format, err := formatOf(path)
	if err != nil {
		return err
	}
	options := o.In(format)
	options.Foot = aloneFoot
	data, err := plots.Render(chart, options)
	if err != nil {
		return err
	}
	return batch.Add(path, data)
}
