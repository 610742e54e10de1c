package usage

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
)

// OneLog is the argument rule of a command that takes a log and nothing else.
func OneLog(cmd *cobra.Command, args []string) error {
	switch len(args) {
	case 0:
		return Wrong(cmd, fmt.Errorf("%s needs a log: a CSV or .xlsx file, or - for standard input", cmd.Name()))
	case 1:
		return nil
	}
	return Wrong(cmd, fmt.Errorf("%s takes one log; %q is one too many", cmd.Name(), args[1]))
}

// Nothing is the argument rule of a command that takes flags only.
func Nothing(cmd *cobra.Command, args []string) error {
	if len(args) > 0 {
		return Wrong(cmd, fmt.Errorf("%s takes no argument; %q is one too many", cmd.Name(), args[0]))
	}
	return nil
}

// OneOf checks the value of a flag that takes one of a few words.
func OneOf(flag, value string, words ...string) error {
	if slices.Contains(words, value) {
		return nil
	}
	return fmt.Errorf("--%s %q: want %s", flag, value, strings.Join(words, ", "))
}

// Checked returns a function that runs a command after validating its flags.
func Checked(validate func() error, run func(cmd *cobra.Command, args []string) error) func(*cobra.Command, []string) error {
	return func(cmd *cobra.Command, args []string) error {
		if err := validate(); err != nil {
			return Wrong(cmd, err)
		}
		return run(cmd, args)
	}
}

// Complete completes a flag with what values returns for the arguments typed so far.
func Complete(cmd *cobra.Command, flag string, values cobra.CompletionFunc) {
	if err := cmd.RegisterFlagCompletionFunc(flag, values); err != nil {
		panic(fmt.Sprintf("flag %s of %s: %v", flag, cmd.Name(), err)) // no such flag: a bug in this program
	}
}

// CompleteWords completes a flag with the words it takes.
func CompleteWords(cmd *cobra.Command, flag string, words ...string) {
	Complete(cmd, flag, cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp))
}
