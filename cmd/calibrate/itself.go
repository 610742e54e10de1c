package main

import (
	"bytes"
	"encoding/csv"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/check"
	"pleatstat/stats/compare"
	"pleatstat/stats/price"
)

// runItself measures how often a part is found to differ from itself: its
// openings are divided at random between two names, which are then compared.
func runItself(args []string, stdout io.Writer) error {
	flags := flag.NewFlagSet("itself", flag.ContinueOnError)
	flags.SetOutput(stdout)
	runs := flags.Int("runs", 40, "logs simulated for each line of the table, and ways of splitting each part of the demo log")
	seed := flags.Uint64("seed", 1, "seed of the logs")
	demo := flags.String("log", "testdata/demo/harbour.csv", "log whose parts are split as well; empty for none")
	page := pageFlag(flags)
	if err := flags.Parse(args); err != nil {
		return err
	}
	return page.write("itself", args, *seed, stdout, func(w io.Writer) error { return itselfTable(w, *demo, *runs, *seed) })
}

// fewestSplit is the fewest openings of a part that is split: two in each half.
const fewestSplit = 4

func itselfTable(w io.Writer, demo string, runs int, seed uint64) error {
	fmt.Fprintf(w, "A part split at random into two names of at least two openings each and compared with itself; planted: one measure of the second half, drawn anew each time, moved by four times the true scatter between openings of one part, that of 6,000 openings simulated alike with nothing planted (by `all`, every recorded number but price), everything else as it was.\n\n")
	fmt.Fprintln(w, "| log | planted | comparisons | measures | called different | share (bar 0.05) | comparisons with any (bar 0.10) | planted differences found | both halves with two values | with three (bar 0.95) |")
	fmt.Fprintln(w, "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
	type source struct {
		name string
		make func(rng *rand.Rand) (*dataset.Log, error)
		sd   map[string]scatterOfOpenings
	}
	var sources []source
	if demo != "" {
		log, err := dataset.ReadFile(demo, dataset.Options{})
		if err != nil {
			return err
		}
		reference, err := cleanDemo(seed)
		if err != nil {
			return err
		}
		sources = append(sources, source{"the demo log", func(*rand.Rand) (*dataset.Log, error) { return log, nil }, scatters(reference)})
	}
	for _, openings := range []int{60, 1000} {
		for _, noise := range filterNoises() {
			o := sim.FilterOptions{Makers: 4, Parts: 3, Openings: openings, Noise: noise, Blanks: 0.15}
			if openings > 100 {
				o.Makers, o.Parts = 12, 8
			}
			many := o
			if many.Openings, many.Blanks = scatterRows, 0; noise == sim.Slips {
				many.Noise = sim.Normal
			}
			reference, err := sim.NewFilterLog(many, rand.New(rand.NewPCG(seed, 0)))
			if err != nil {
				return err
			}
			sources = append(sources, source{fmt.Sprintf("%d openings, %s", openings, noise), func(rng *rand.Rand) (*dataset.Log, error) {
				log, err := filterLog(o, rng)
				if err != nil {
					return nil, err
				}
				return log.Log, nil
			}, scatters(reference.Log)})
		}
	}
	for _, s := range sources {
		for _, plant := range []string{"none", "one", "all"} {
			each, err := inParallel(runs, seed, func(rng *rand.Rand) (itselfTally, error) {
				log, err := s.make(rng)
				if err != nil {
					return itselfTally{}, err
				}
				return splitAll(log, plant, s.sd, rng)
			})
			if err != nil {
				return err
			}
			var t itselfTally
			for _, e := range each {
				t.add(e)
			}
			fmt.Fprintf(w, "| %s | %s | %d | %d | %d | %s | %s | %s | %s | %s |\n", s.name, plant, t.comparisons, t.measures, t.beyond,
				share(t.beyond, t.measures), share(t.any, t.comparisons), share(t.found[0], t.planted[0]), share(t.found[1], t.planted[1]), share(t.found[2], t.planted[2]))
		}
	}
	return nil
}

// itselfTally counts over comparisons. measures, beyond and any leave out the
// measures moved on purpose and those computed from them; planted and found count
// those moved, with at least fewestEach values in either half.
type itselfTally struct {
	comparisons, measures, beyond, any int
	planted, found                     [len(fewestEach)]int
}

// fewestEach lists the fewest values in either half for the columns of the table that
// give the share of planted differences found.
var fewestEach = [...]int{1, 2, 3}

func (t *itselfTally) add(o itselfTally) {
	t.comparisons += o.comparisons
	t.measures += o.measures
	t.beyond += o.beyond
	t.any += o.any
	for k := range t.planted {
		t.planted[k] += o.planted[k]
		t.found[k] += o.found[k]
	}
}

// splitAll splits every part with at least fewestSplit openings, or mostSplit of
// them if differences are planted.
func splitAll(log *dataset.Log, plant string, sd map[string]scatterOfOpenings, rng *rand.Rand) (itselfTally, error) {
	var t itselfTally
	rows := make([][]int, log.Products())
	for row := range log.Rows() {
		rows[log.Product(row)] = append(rows[log.Product(row)], row)
	}
	const mostSplit = 8
	order := rng.Perm(len(rows))
	taken := 0
	for _, k := range order {
		if len(rows[k]) < fewestSplit || plant != "none" && taken == mostSplit {
			continue
		}
		taken++
		one, err := split(log, rows[k], plant, sd, rng)
		if err != nil {
			return t, err
		}
		t.add(one)
	}
	return t, nil
}

// plantable lists the recorded measures that may be moved.
var plantable = []string{"total_mass", "can_mass", "can_gauge", "base_plate_mass", "media_length", "element_width", "media_mass"}

// split compares one part, whose openings are in rows, with itself.
func split(log *dataset.Log, rows []int, plant string, sd map[string]scatterOfOpenings, rng *rand.Rand) (itselfTally, error) {
	var t itselfTally
	second := map[int]bool{}
	for i, at := range rng.Perm(len(rows)) {
		if i < len(rows)/2 {
			second[rows[at]] = true
		}
	}
	var targets []string
	switch plant {
	case "one":
		targets = []string{plantable[rng.IntN(len(plantable))]}
	case "all":
		targets = plantable
	}
	const times = 4
	by := map[string]float64{}
	for _, name := range targets {
		by[name] = times * sd[name].of(log.Floats(name), rows)
	}
	text, err := rewritten(log, second, by)
	if err != nil {
		return t, err
	}
	halves, err := dataset.Read(text, "split.csv", dataset.Options{})
	if err != nil {
		return t, err
	}
	checked, err := check.Run(halves, check.Options{})
	if err != nil {
		return t, err
	}
	sound := halves.SetAside(checked.SetAside)
	maker, part := log.Word(rows[0], "maker"), log.Word(rows[0], "part")
	c, err := compare.Parts(sound, []price.Product{{Maker: maker, Part: part + secondHalf}, {Maker: maker, Part: part}}, nil, compare.Options{Doubted: checked.Doubted})
	if err != nil {
		return t, err
	}
	t.comparisons = 1
	for _, m := range c.Measures {
		d := m.Differences[0]
		if slices.Contains(targets, m.Column) {
			n := min(m.Values[0].N, m.Values[1].N)
			for k := range t.planted {
				if n < fewestEach[k] {
					continue
				}
				t.planted[k]++
				if d.Beyond {
					t.found[k]++
				}
			}
			continue
		}
		if slices.ContainsFunc(catalogue.Inputs(m.Column), func(in string) bool { return slices.Contains(targets, in) }) {
			continue // computed from a measure that was moved
		}
		t.measures++
		if d.Beyond {
			t.beyond++
			t.any = 1
		}
	}
	return t, nil
}

// secondHalf is appended to the part's name in the openings of the second half.
const secondHalf = " second"

// rewritten returns the log as CSV with secondHalf appended to the part in the
// rows of second, and the measures in by moved there by the given amounts, in
// base units.
func rewritten(log *dataset.Log, second map[int]bool, by map[string]float64) (io.Reader, error) {
	var plain bytes.Buffer
	if err := dataset.WriteNormalised(&plain, log); err != nil {
		return nil, err
	}
	records, err := csv.NewReader(&plain).ReadAll()
	if err != nil {
		return nil, err
	}
	for at, title := range records[0] {
		for row := range second {
			cell := &records[row+1][at]
			if title == "part" {
				*cell += secondHalf
			}
			for name, d := range by {
				if strings.HasPrefix(title, name+"_") && *cell != "" {
					unit := log.Units().Of(name)
					*cell = moved(*cell, d*unit.PerBase, unit.Decimals)
				}
			}
		}
	}
	var text bytes.Buffer
	w := csv.NewWriter(&text)
	if err := w.WriteAll(records); err != nil {
		return nil, err
	}
	return &text, nil
}

// moved adds by to every reading of a cell and writes them with at least the given
// number of decimals.
func moved(cell string, by float64, decimals int) string {
	readings := strings.Split(cell, ";")
	for i, r := range readings {
		v, err := strconv.ParseFloat(strings.TrimSpace(r), 64)
		if err != nil {
			return cell // a rough value, or none
		}
		if _, after, found := strings.Cut(strings.TrimSpace(r), "."); found {
			decimals = max(decimals, len(after))
		}
		readings[i] = strconv.FormatFloat(v+by, 'f', decimals, 64)
	}
	return strings.Join(readings, "; ")
}
