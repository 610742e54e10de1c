// Package charts draws the charts of a run: which ones each command shows of its
// result, by which names they go into a folder, and the flags that say how they
// look. What a chart looks like stands in plots.
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

// Named is a chart and the name it goes by; its file is called by the number as
// well, where it has one.
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

// set gathers charts; those that have nothing to draw are passed over.
type set struct {
	charts []Named
	err    error
}

// add takes the chart of a name, and the error of making it.
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

// yearOf is the year of an ISO date, 0 where there is none.
func yearOf(iso string) int {
	year, _ := strconv.Atoi(iso[:min(len(iso), 4)]) // "" gives 0: not said
	return year
}

// SourceOf says what a chart of a log rests on.
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

// Draw draws every chart in every format, on each core one after another.
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

// NotDrawn says that a chart asked for could not be drawn, and that nothing else
// was done.
func NotDrawn(err error) error { return fmt.Errorf("no chart was drawn: %w", err) }

// aloneFoot stands at the foot of a chart that is drawn by itself: nothing beside
// it says what a teardown measures.
const aloneFoot = "Shows how filters are built, not how well they filter or what fits an engine"

// Add draws one chart into a file of its own, in the format its name asks
// for.
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
