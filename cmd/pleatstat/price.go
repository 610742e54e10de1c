package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/charts"
	"pleatstat/cmd/pleatstat/internal/console"
	"pleatstat/cmd/pleatstat/internal/logfile"
	"pleatstat/cmd/pleatstat/internal/output"
	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/cmd/pleatstat/internal/usage"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/plots"
	"pleatstat/stats/price"
)

type priceOptions struct {
	log    logfile.Options
	chart  charts.Options
	part   string
	whatIf string
	json   bool
	csv    string
	plot   string
	seed   uint64
	claims bool
}

func (o *priceOptions) validate(path string) error {
	errs := []error{o.log.Validate(), o.chart.Validate()}
	if o.whatIf == console.Stdin && path == console.Stdin {
		errs = append(errs, errors.New("the log and the rows of --what-if cannot both come from standard input"))
	}
	if o.whatIf == console.Stdin && o.part != "" {
		errs = append(errs, errors.New("rows from standard input bring their own names; leave --part out"))
	}
	if o.whatIf != "" && o.whatIf != console.Stdin {
		_, err := parseWhatIf(o.whatIf)
		errs = append(errs, err)
	}
	errs = append(errs, charts.CheckFile(o.plot))
	if o.csv != "" && o.part+o.whatIf != "" {
		errs = append(errs, errors.New("--csv writes the list of all parts; leave --part and --what-if out"))
	}
	return errors.Join(errs...)
}

// newPart reports whether --what-if gives contents, so that the part need not be one of
// the log.
func (o *priceOptions) newPart() bool {
	values, _ := parseWhatIf(o.whatIf) // validated
	delete(values, "price")
	return o.whatIf != "" && len(values) > 0
}

// parseWhatIf reads "price=8.99,media_area=350cm²". A comma that is not
// followed by a name and = belongs to the value before it (8,99).
func parseWhatIf(s string) (map[string]string, error) {
	values := map[string]string{}
	last := ""
	for piece := range strings.SplitSeq(s, ",") {
		name, value, found := strings.Cut(piece, "=")
		name = strings.TrimSpace(name)
		switch {
		case found && name != "":
			if _, twice := values[name]; twice {
				return nil, fmt.Errorf("--what-if gives %s twice", name)
			}
			values[name], last = strings.TrimSpace(value), name
		case last != "":
			values[last] += "," + piece
		default:
			return nil, fmt.Errorf("--what-if %q: want name=value, several with commas, for example price=8.99,media_area=350cm²", s)
		}
	}
	return canonical(values)
}

// canonical replaces the names of values, which may be any that a log's header may
// have, by the names of columns; a unit in a name is appended to its value.
func canonical(values map[string]string) (map[string]string, error) {
	out := map[string]string{}
	for _, name := range slices.Sorted(maps.Keys(values)) {
		columns, unit := dataset.ColumnsNamed(name)
		if len(columns) != 1 {
			var have []string
			for c := range catalogue.Recorded() {
				have = append(have, c.Name)
			}
			return nil, usage.NoSuch("column", name, have)
		}
		column := columns[0]
		if _, twice := out[column]; twice {
			return nil, fmt.Errorf("--what-if gives %s twice", column)
		}
		out[column] = values[name]
		if unit != "" && values[name] != "" && !strings.ContainsFunc(values[name], unicode.IsLetter) {
			out[column] += " " + unit
		}
	}
	return out, nil
}

func (a *app) priceCommand() *cobra.Command {
	var o priceOptions
	cmd := &cobra.Command{
		Use:   "price LOG [--part \"MAKER PART\"] [flags]",
		Short: "Is this one overpriced for what is inside? By how much, and how sure",
		Long: `price judges what a filter costs against what is inside it: media area, can
mass or gauge, media type and whatever else was recorded, with the rise of
prices over the years. A part is always judged by a fit that has not seen it.

With --part it gives the verdict on one part, the same that report gives: the
last price paid, in the money of the log's last opening, against what parts
with the same contents usually cost, what each content adds to that, whether
media area alone says the same and why not, and the nearest by contents.
Without it, all parts are listed, the dearest for its contents first.

--what-if judges a part that is not in the log, or one at another price:
name=value pairs, or - for rows with a header from standard input. A name is
any that a log's header may have (price or cost, drain_back or adbv); "columns"
lists them.`,
		Example: `  pleatstat price log.csv
  pleatstat price log.csv --part "Veldmarsh VM2146"
  pleatstat price log.csv --part "Veldmarsh VM2146" --what-if price=12.50
  pleatstat price log.csv --csv prices.csv
  pleatstat price log.csv --what-if "cost=8.99,media length=57in,element_width=1.6in,adbv=orange silicone"
  pleatstat price log.csv --what-if "price=8.99,media_area=350cm²,drain_back=silicone"`,
		Args: usage.OneLog,
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := o.validate(args[0]); err != nil {
				return usage.Wrong(cmd, err)
			}
			return a.price(cmd.Context(), args[0], o)
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.part, "part", "", "judge this `PART`: maker and part number, or as much of them as is clear")
	f.StringVar(&o.whatIf, "what-if", "", "judge a part with these `VALUES`; - reads rows from standard input")
	f.BoolVar(&o.json, "json", false, "print JSON")
	f.StringVar(&o.csv, "csv", "", "write the list of all parts as a table into `FILE`")
	f.StringVar(&o.plot, "plot", "", "draw the chart into `FILE` (.png, .svg, .pdf)")
	f.BoolVar(&o.claims, "with-claims", false, "count what the box claims among the contents that prices are judged by")
	f.Uint64Var(&o.seed, "seed", 0, "`NUMBER` that seeds every resampling")
	o.log.Bind(cmd)
	o.chart.Bind(cmd, a.Console, false)
	logfile.Complete(cmd, a.Console, "part", logfile.Products)
	return cmd
}

func (a *app) price(ctx context.Context, path string, o priceOptions) error {
	batch := output.NewBatch("price", logfile.Inputs(a.Console, path)...)
	if err := batch.AllowAll(o.plot, o.csv); err != nil {
		return err
	}
	log, err := a.readCharted(ctx, path, o.log, &o.chart)
	if err != nil {
		return err
	}
	one := o.part != "" || o.whatIf != ""
	found, err := console.Work(ctx, a.Console, "judging the prices", func() (verdicts, error) { return a.judge(log, o) })
	if err != nil {
		return err
	}
	judged := found.judged
	if o.plot != "" {
		var chart *plots.Chart
		if one {
			chart, err = plots.Contributions(judged[0], charts.SourceOf(found.log))
		} else {
			chart, err = plots.Prices(judged, charts.SourceOf(found.log))
		}
		if err != nil {
			return charts.NotDrawn(err)
		}
		if err := charts.Add(batch, o.plot, chart, o.chart); err != nil {
			return err
		}
	}
	if err := batch.AddWritten(o.csv, func(w io.Writer) error { return prices.RankingCSV(w, judged, log.Units()) }); err != nil {
		return err
	}
	if err := batch.Commit(ctx); err != nil {
		return err
	}
	if o.json {
		a.printNotices(found.log)
	}
	switch {
	case one && len(judged) == 1 && o.json:
		return prices.PartJSON(a.Out, found.log, judged[0])
	case o.json:
		return prices.RankingJSON(a.Out, found.log, judged, found.warnings)
	}
	text := a.newText(found.log)
	prices.Foreign(text, log.ForeignPrices(), log.Units())
	if one {
		for _, j := range judged {
			prices.Part(text, found.withoutShared(j), log.Units())
		}
		if len(judged) > 1 {
			text.Notes(found.warnings)
		}
		wording.PriceCaution(text)
	} else {
		prices.Ranking(text, judged, found.warnings, found.most, log.Units())
	}
	return text.Err()
}

// verdicts holds the verdicts asked for, with the warnings that concern all of them.
type verdicts struct {
	log      *dataset.Log // without the readings set aside
	judged   []price.Judgement
	warnings []string
	most     []price.ForMoney // where prices can't be judged
}

// withoutShared removes the warnings that concern all verdicts from one of several:
// they are written once.
func (v verdicts) withoutShared(j price.Judgement) price.Judgement {
	if len(v.judged) > 1 {
		j.Warnings = slices.DeleteFunc(slices.Clone(j.Warnings), func(w string) bool { return slices.Contains(v.warnings, w) })
	}
	return j
}

// judge returns the verdicts asked for.
func (a *app) judge(log *dataset.Log, o priceOptions) (verdicts, error) {
	sound, err := a.soundLog(log)
	if err != nil {
		return verdicts{}, err
	}
	model, err := price.Fit(sound, price.Options{Seed: o.seed, WithClaims: o.claims})
	if err != nil {
		return verdicts{}, err
	}
	judged, err := a.judgedBy(model, sound, o)
	found := verdicts{log: sound, judged: judged, warnings: model.Warnings()}
	if !model.Judges() {
		found.most = model.MostMedia()
	}
	return found, err
}

// judgedBy returns the verdict on one part, those on parts not in the log, or all.
func (a *app) judgedBy(model *price.Model, sound *dataset.Log, o priceOptions) ([]price.Judgement, error) {
	var err error
	var named price.Product
	if o.part != "" {
		named, err = price.Resolve(sound, o.part)
		var unknown *price.UnknownError
		if err != nil && (!errors.As(err, &unknown) || !o.newPart()) {
			return nil, err
		}
	}
	var j price.Judgement
	switch {
	case o.whatIf == console.Stdin:
		options := o.log.Dataset()
		options.Sheet = "" // the flag names a sheet of the log
		rows, err := dataset.Read(a.In, "standard input", options)
		if err != nil {
			return nil, err
		}
		return model.WhatIfLog(rows)
	case o.whatIf != "":
		values, _ := parseWhatIf(o.whatIf) // validated
		if named == (price.Product{}) {
			named.Part = o.part
		}
		if o.part != "" {
			values["maker"], values["part"] = named.Maker, named.Part
		}
		j, err = model.WhatIf(values)
	case o.part != "":
		j, err = model.Judge(named.Maker, named.Part)
	default:
		return model.All(), nil
	}
	return []price.Judgement{j}, err
}
