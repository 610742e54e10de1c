package config

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"pleatstat/cmd/pleatstat/internal/console"
	"pleatstat/cmd/pleatstat/internal/usage"
)

// Use makes every command below root take from the environment and the settings file
// the flags that were not given and the log that was not named.
func Use(root *cobra.Command, c *console.Console) {
	for _, command := range root.Commands() {
		if command.RunE == nil || command.Hidden {
			continue
		}
		check, run := command.Args, command.RunE
		var found *Settings
		command.Args = func(cmd *cobra.Command, args []string) error {
			var err error
			if err := errors.Join(noEmptyFlag(cmd.Flags()), noStdout(cmd.Flags())); err != nil {
				return usage.Wrong(cmd, err)
			}
			if found, err = Load(c.Getenv, os.UserConfigDir); err == nil {
				err = found.Apply(cmd.Flags())
			}
			if err != nil {
				return usage.Wrong(cmd, err)
			}
			if found.Warning != "" && !c.Quiet {
				c.Complain(errors.New(found.Warning))
			}
			return check(cmd, withLog(cmd, args, found))
		}
		command.RunE = func(cmd *cobra.Command, args []string) error { return run(cmd, withLog(cmd, args, found)) }
	}
}

// noEmptyFlag refuses a flag with an empty value, as a script gives it whose variable
// is not set: the command would do something other than was meant.
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

// noStdout refuses "-" as the output folder: elsewhere it stands for a stream.
func noStdout(flags *pflag.FlagSet) error {
	if out := flags.Lookup("out"); out != nil && out.Value.String() == console.Stdin {
		return fmt.Errorf("--out %s: want a folder; without --out the text, or with --json the JSON, goes to standard output", console.Stdin)
	}
	return nil
}

// WithLog puts the log of the settings before the arguments typed so far, as a run
// does; shell completion needs it.
func WithLog(cmd *cobra.Command, args []string, getenv func(string) string) []string {
	found, err := Load(getenv, os.UserConfigDir)
	if err != nil {
		return args
	}
	return withLog(cmd, args, found)
}

// withLog puts the log of the settings before the arguments of a command that takes
// a log, if none was named. Where parts or names follow the log, the first argument
// counts as the log if there is such a file.
func withLog(cmd *cobra.Command, args []string, s *Settings) []string {
	words := strings.Fields(cmd.Use)
	if len(words) < 2 || words[1] != "LOG" || s.Log() == "" {
		return args
	}
	if len(args) > 0 {
		_, err := os.Stat(args[0])
		if words[2] != "PART" && words[2] != "NAME" || args[0] == console.Stdin || err == nil {
			return args
		}
	}
	return slices.Concat([]string{s.Log()}, args)
}
