package main

import (
	"context"
	"fmt"
	"runtime"
	"runtime/debug"
	"time"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/config"
	"pleatstat/cmd/pleatstat/internal/console"
	"pleatstat/cmd/pleatstat/internal/usage"
)

// version is the release; builds from a checkout add the revision.
const version = "0.1.0"

// app holds what the commands share.
type app struct {
	*console.Console
	today   time.Time // dates after it are slips
	helpErr error     // error of writing a help text, which cobra cannot return
}

// execute runs one command line.
func (a *app) execute(ctx context.Context, args []string) error {
	root := a.rootCommand()
	root.SetArgs(args)
	if err := root.ExecuteContext(ctx); err != nil {
		return err
	}
	return a.helpErr
}

func (a *app) rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:   "pleatstat",
		Short: "Trends, overpriced parts and drift from a log of opened oil filters",
		Long: `pleatstat reads the log of a bench that cuts spin-on oil filters open and
measures what is inside. It fits the trends over everything opened, flags
the parts that fall off them, follows makers over time and writes findings
that can be read aloud, with charts.

A log is a CSV file (or .xlsx, .ods) with one row for each filter opened;
"pleatstat columns" lists what it may hold. LOG may be - for standard input.

A teardown measures how a filter is built, not how well it filters or what
pressure it holds.

What one always types may stand in pleatstat/config.json in the user's
configuration folder, for example {"log": "log.csv", "units": "metric",
"theme": "dark", "columns": {"part": "model no"}}, or all but the columns in
the environment as PLEATSTAT_LOG, PLEATSTAT_UNITS, PLEATSTAT_THEME,
PLEATSTAT_SIZE and PLEATSTAT_FORMAT. A flag goes before the environment, the
environment before the file; PLEATSTAT_CONFIG names another file.

Exit codes: 0 done, 1 failed, 2 wrong usage, 3 the log has errors.`,
		Example: `  pleatstat start log.csv
  pleatstat report log.csv --out findings
  pleatstat check log.csv
  pleatstat price log.csv --part "Veldmarsh VM2146"`,
		Version:       versionText(),
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return cmd.Help()
			}
			return usage.UnknownCommand(cmd, args[0])
		},
	}
	root.SetIn(a.In)
	root.SetOut(a.Out)
	root.SetErr(a.Err)
	root.SetVersionTemplate("pleatstat {{.Version}}\n")
	root.SetFlagErrorFunc(usage.FlagError)
	root.SetUsageFunc(usage.Print)
	root.SetHelpFunc(func(cmd *cobra.Command, _ []string) { a.helpErr = usage.Help(cmd) })
	root.PersistentFlags().BoolP("help", "h", false, "say what it does and how to call it")
	root.PersistentFlags().BoolVarP(&a.Quiet, "quiet", "q", false, "say nothing but results and errors")
	root.Flags().BoolP("version", "v", false, "say which version this is")
	root.AddCommand(
		a.startCommand(), a.latestCommand(), a.reportCommand(), a.showCommand(), a.checkCommand(), a.priceCommand(), a.compareCommand(),
		a.driftCommand(), a.trendCommand(), a.roundupCommand(), a.columnsCommand(), a.manCommand(),
	)
	config.Use(root, a.Console)
	root.AddCommand(a.completionCommand()) // takes nothing from the settings
	root.SetHelpCommand(usage.HelpCommand())
	for _, c := range root.Commands() {
		c.Flags().SortFlags = false
		c.DisableFlagsInUseLine = true
	}
	return root
}

// versionText returns the release and, if the build knows it, the revision.
func versionText() string {
	text := version
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" {
				text += " (revision " + s.Value[:min(len(s.Value), 12)] + ")"
			}
		}
	}
	return fmt.Sprintf("%s, %s, %s/%s", text, runtime.Version(), runtime.GOOS, runtime.GOARCH)
}
