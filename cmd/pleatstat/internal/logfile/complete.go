package logfile

import (
	"os"
	"slices"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/config"
	"pleatstat/cmd/pleatstat/internal/console"
	"pleatstat/cmd/pleatstat/internal/usage"
	"pleatstat/dataset"
)

// Complete completes the value of a flag from the log given as first argument or,
// without one, from the log of the settings.
func Complete(cmd *cobra.Command, c *console.Console, flag string, values func(*dataset.Log) []string) {
	usage.Complete(cmd, flag, func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		return offer(config.WithLog(cmd, args, c.Getenv), values)
	})
}

// CompleteNames completes the names that follow the log, at most most of them.
func CompleteNames(c *console.Console, most int, values func(*dataset.Log) []string) cobra.CompletionFunc {
	return func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		if len(args) == 0 {
			return nil, cobra.ShellCompDirectiveDefault // the log: a file
		}
		if args = config.WithLog(cmd, args, c.Getenv); len(args) > most {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return offer(args, values)
	}
}

// offer reads the log named by the first argument and returns the values of it to
// offer, none if it cannot be read.
func offer(args []string, values func(*dataset.Log) []string) ([]string, cobra.ShellCompDirective) {
	if len(args) == 0 || args[0] == console.Stdin {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	if info, err := os.Stat(args[0]); err != nil || !info.Mode().IsRegular() { // reading a pipe would empty it
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	log, err := dataset.ReadFile(args[0], dataset.Options{})
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return values(log), cobra.ShellCompDirectiveNoFileComp
}

// Makers lists the makers of a log in order of first appearance.
func Makers(log *dataset.Log) []string { return distinct(log.Strings("maker")) }

// Products lists the products of a log as "Maker Part", in order of first appearance.
func Products(log *dataset.Log) []string {
	parts := log.Strings("part")
	names := log.Strings("maker")
	for i := range names {
		names[i] += " " + parts[i]
	}
	return distinct(names)
}

// Numbers lists the numeric columns of a log, recorded and derived.
func Numbers(log *dataset.Log) []string {
	return slices.DeleteFunc(log.Names(), func(name string) bool {
		return name == "opened" || log.Floats(name) == nil
	})
}

// DatesAndNumbers lists the columns that a trend may be fitted on: those of Numbers
// and the date of opening.
func DatesAndNumbers(log *dataset.Log) []string { return append(Numbers(log), "opened") }

func distinct(all []string) []string {
	var out []string
	seen := map[string]bool{}
	for _, s := range all {
		if s != "" && !seen[s] {
			seen[s] = true
			out = append(out, s)
		}
	}
	return out
}
