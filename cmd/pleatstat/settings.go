package main

import (
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

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
			if found, err = config.Load(a.getenv, os.UserConfigDir); err == nil {
				err = found.Apply(cmd.Flags())
			}
			if err != nil {
				return wrongUsage(cmd, err)
			}
			return check(cmd, withLog(cmd, args, found))
		}
		c.RunE = func(cmd *cobra.Command, args []string) error { return run(cmd, withLog(cmd, args, found)) }
	}
}

// withLog puts the log of the settings before the arguments of a command that
// takes a log, where none was named.
func withLog(cmd *cobra.Command, args []string, s *config.Settings) []string {
	words := strings.Fields(cmd.Use)
	if len(words) < 2 || words[1] != "LOG" || len(args) > 0 || s.Log() == "" {
		return args
	}
	return slices.Concat([]string{s.Log()}, args)
}
