package main

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"pleatstat/cmd/pleatstat/internal/config"
)

// useSettings lets what stands in the environment and in the settings file take
// the place of flags that were not given, and of a log that was not named.
func (a *app) useSettings(root *cobra.Command) {
	for _, c := range root.Commands() {
		if c.RunE == nil || c.Hidden {
			continue
		}
		check, run := c.Args, c.RunE
		var found *config.Settings
		c.Args = func(cmd *cobra.Command, args []string) error {
			var err error
			if err := errors.Join(noEmptyFlag(cmd.Flags()), noStdout(cmd.Flags())); err != nil {
				return wrongUsage(cmd, err)
			}
			if found, err = config.Load(a.getenv, os.UserConfigDir); err == nil {
				err = found.Apply(cmd.Flags())
			}
			if err != nil {
				return wrongUsage(cmd, err)
			}
			if found.Warning != "" && !a.quiet {
				a.complain(errors.New(found.Warning))
			}
			return check(cmd, withLog(cmd, args, found))
		}
		c.RunE = func(cmd *cobra.Command, args []string) error { return run(cmd, withLog(cmd, args, found)) }
	}
}

// noEmptyFlag refuses a flag that is given with nothing, as a script does whose
// variable is not set: the command would do something else than was meant.
func noEmptyFlag(flags *pflag.FlagSet) error {
	var errs []error
	flags.Visit(func(f *pflag.Flag) {
		values := []string{f.Value.String()}
		if list, ok := f.Value.(pflag.SliceValue); ok {
			values = list.GetSlice()
		}
		switch {
		case len(values) > 1 && slices.Contains(values, ""):
			errs = append(errs, fmt.Errorf("--%s: one of its values is empty", f.Name))
		case len(values) == 0 || values[0] == "":
			errs = append(errs, fmt.Errorf("--%s is empty; give it a value or leave it out", f.Name))
		}
	})
	return errors.Join(errs...)
}

// noStdout refuses a folder called -, which elsewhere stands for a stream.
func noStdout(flags *pflag.FlagSet) error {
	if out := flags.Lookup("out"); out != nil && out.Value.String() == stdinName {
		return fmt.Errorf("--out %s: want a folder; without --out the text, or with --json the JSON, goes to standard output", stdinName)
	}
	return nil
}

// withLog puts the log of the settings before the arguments of a command that
// takes a log, where none was named. Before parts and names, the first argument is a log if
// there is such a file.
func withLog(cmd *cobra.Command, args []string, s *config.Settings) []string {
	words := strings.Fields(cmd.Use)
	if len(words) < 2 || words[1] != "LOG" || s.Log() == "" {
		return args
	}
	if len(args) > 0 {
		_, err := os.Stat(args[0])
		if words[2] != "PART" && words[2] != "NAME" || args[0] == stdinName || err == nil {
			return args
		}
	}
	return slices.Concat([]string{s.Log()}, args)
}
