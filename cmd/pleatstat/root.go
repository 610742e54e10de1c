package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// version is the release; builds from a checkout add the revision.
const version = "0.1.0"

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
			return wrongUsage(cmd, unknownCommand(cmd, args[0]))
		},
	}
	root.SetIn(a.stdin)
	root.SetOut(a.stdout)
	root.SetErr(a.stderr)
	root.SetVersionTemplate("pleatstat {{.Version}}\n")
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		return wrongUsage(cmd, flagError(cmd, err))
	})
	root.SetUsageFunc(usage)
	root.SetHelpFunc(func(cmd *cobra.Command, _ []string) { a.helpErr = help(cmd) })
	root.PersistentFlags().BoolP("help", "h", false, "say what it does and how to call it")
	root.PersistentFlags().BoolVarP(&a.quiet, "quiet", "q", false, "say nothing but results and errors")
	root.Flags().BoolP("version", "v", false, "say which version this is")
	root.AddCommand(
		a.startCommand(), a.latestCommand(), a.reportCommand(), a.showCommand(), a.checkCommand(), a.priceCommand(), a.compareCommand(),
		a.driftCommand(), a.trendCommand(), a.roundupCommand(), a.columnsCommand(), a.manCommand(),
	)
	a.useSettings(root)
	root.AddCommand(a.completionCommand()) // takes nothing from the settings
	root.SetHelpCommand(helpCommand())
	for _, c := range root.Commands() {
		c.Flags().SortFlags = false
		c.DisableFlagsInUseLine = true
	}
	return root
}

// versionText is the release and, where the build knows it, the revision.
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

func wrongUsage(cmd *cobra.Command, err error) error {
	return &usageError{err: err, command: cmd.CommandPath()}
}

// unknownCommand names the commands close to what was typed.
func unknownCommand(cmd *cobra.Command, typed string) error {
	if info, err := os.Stat(typed); err == nil && info.Mode().IsRegular() {
		return fmt.Errorf("%q is a file, not a command; did you mean: pleatstat report %s", typed, typed)
	}
	var names []string
	for _, c := range cmd.Commands() {
		if c.IsAvailableCommand() {
			names = append(names, c.Name())
		}
	}
	return noSuch("command", typed, names)
}

// flagError words an error of the flag parser and names a flag close to the
// one that was typed.
func flagError(cmd *cobra.Command, err error) error {
	var invalid *pflag.InvalidValueError
	if errors.As(err, &invalid) {
		if _, ok := invalid.GetFlag().Value.(*columnFlag); ok {
			return fmt.Errorf("--%s %w", invalid.GetFlag().Name, invalid.Unwrap())
		}
		return fmt.Errorf("--%s %q: want %s", invalid.GetFlag().Name, invalid.GetValue(), map[string]string{
			"bool": "true or false", "int": "a whole number", "uint64": "a whole number of 0 or more", "year": aYear,
		}[invalid.GetFlag().Value.Type()])
	}
	var lacking *pflag.ValueRequiredError
	if errors.As(err, &lacking) {
		value, _ := pflag.UnquoteUsage(lacking.GetFlag())
		return fmt.Errorf("--%s needs a value: --%s %s", lacking.GetFlag().Name, lacking.GetFlag().Name, value)
	}
	var unknown *pflag.NotExistError
	if !errors.As(err, &unknown) {
		return err
	}
	typed := unknown.GetSpecifiedName()
	if unknown.GetSpecifiedShortnames() != "" {
		return fmt.Errorf("there is no flag -%s", typed)
	}
	var names []string
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		if !f.Hidden {
			names = append(names, "--"+f.Name)
		}
	})
	return noSuch("flag", "--"+typed, names)
}

// near lists the candidates that s may be a misspelling of.
func near(s string, candidates []string) []string {
	if s == "" {
		return nil
	}
	// A command's name ends at its first space; names from a log may hold some.
	const space, joiner = " ", "\u00a0"
	probe := &cobra.Command{SuggestionsMinimumDistance: 2}
	for _, c := range candidates {
		probe.AddCommand(&cobra.Command{Use: strings.ReplaceAll(c, space, joiner), Run: func(*cobra.Command, []string) {}})
	}
	found := probe.SuggestionsFor(strings.ReplaceAll(s, space, joiner))
	for i := range found {
		found[i] = strings.ReplaceAll(found[i], joiner, space)
	}
	return found
}

// noSuch says that something named on the command line is not there, and what
// may have been meant.
func noSuch(what, typed string, have []string) error {
	if close := near(typed, have); len(close) > 0 {
		return fmt.Errorf("there is no %s %q; did you mean %s?", what, typed, strings.Join(close, " or "))
	}
	return fmt.Errorf("there is no %s %q; there are %s", what, typed, strings.Join(have, ", "))
}

// oneLog is the argument rule of a command that takes a log and nothing else.
func oneLog(cmd *cobra.Command, args []string) error {
	switch len(args) {
	case 0:
		return wrongUsage(cmd, fmt.Errorf("%s needs a log: a CSV or .xlsx file, or - for standard input", cmd.Name()))
	case 1:
		return nil
	}
	return wrongUsage(cmd, fmt.Errorf("%s takes one log; %q is one too many", cmd.Name(), args[1]))
}

// nothing is the argument rule of a command that takes flags only.
func nothing(cmd *cobra.Command, args []string) error {
	if len(args) > 0 {
		return wrongUsage(cmd, fmt.Errorf("%s takes no argument; %q is one too many", cmd.Name(), args[0]))
	}
	return nil
}

// oneOf checks the value of a flag that takes one of a few words.
func oneOf(flag, value string, words ...string) error {
	if slices.Contains(words, value) {
		return nil
	}
	return fmt.Errorf("--%s %q: want %s", flag, value, strings.Join(words, ", "))
}
