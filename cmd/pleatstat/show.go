package main

import (
	"context"
	"errors"
	"os"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/config"
	"pleatstat/cmd/pleatstat/internal/render"
	"pleatstat/dataset"
	"pleatstat/stats/card"
)

type showOptions struct {
	log    logOptions
	json   bool
	room   string
	seed   uint64
	claims bool
}

func (o *showOptions) validate() error {
	return o.log.validate()
}

func (a *app) showCommand() *cobra.Command {
	var o showOptions
	cmd := &cobra.Command{
		Use:   "show LOG NAME [flags]",
		Short: "Everything about one part, or one maker; what else takes the same mount",
		Long: `show gathers on one page what the other commands tell of a part: its price
verdict and how the usual price comes about, all its openings, what its maker
changed, where it stands among all parts and among those with its thread, the
nearest by contents, and what else takes the same mount.

Where NAME is a maker it tells of the maker: its parts, how its prices, cans,
pleats and media compare, and what changed over the years.

The same mount does not make a part a replacement: bypass setting, drain-back
valve and flow are the equipment maker's to specify.`,
		Example: `  pleatstat show log.csv "Veldmarsh VM2146"
  pleatstat show log.csv L4135 --room 80x75
  pleatstat show log.csv Lowmere`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) != 2 {
				return wrongUsage(cmd, errors.New("show needs a log and one name: a part or a maker, in quotes where it has spaces"))
			}
			return nil
		},
		ValidArgsFunction: func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if found, err := config.Load(a.getenv, os.UserConfigDir); err == nil {
				args = withLog(cmd, args, found)
			}
			if len(args) == 0 {
				return nil, cobra.ShellCompDirectiveDefault // the log: a file
			}
			if len(args) > 1 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return a.fromLog(args, func(log *dataset.Log) []string { return append(makersOf(log), productsOf(log)...) })
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := o.validate(); err != nil {
				return wrongUsage(cmd, err)
			}
			return a.show(cmd.Context(), args[0], args[1], o)
		},
	}
	f := cmd.Flags()
	f.BoolVar(&o.json, "json", false, "print JSON")
	f.BoolVar(&o.claims, "with-claims", false, "count what the box claims among the contents that prices are judged by")
	f.Uint64Var(&o.seed, "seed", 0, "`NUMBER` that seeds every resampling")
	o.log.bind(f)
	completeWords(cmd, "units", "metric", "us")
	return cmd
}

func (a *app) show(ctx context.Context, path, name string, o showOptions) error {
	log, err := a.readLog(ctx, path, o.log)
	if err != nil {
		return err
	}
	what, err := card.Find(log, name)
	if err != nil {
		return err
	}
	basis, err := work(ctx, a, "judging", func() (*card.Basis, error) {
		return card.Prepare(ctx, log, card.Options{Seed: o.seed, Today: a.today, WithClaims: o.claims})
	})
	if err != nil {
		return err
	}
	if o.json {
		a.tellNotices(basis.Log)
	}
	c, err := basis.OfPart(what, card.Room{})
	if err != nil {
		return err
	}
	if o.json {
		return render.CardJSON(a.stdout, basis.Log, c)
	}
	text := a.newText(basis.Log)
	render.ForeignPrices(text, log)
	render.Card(text, c, log.Units())
	return text.Err()
}
