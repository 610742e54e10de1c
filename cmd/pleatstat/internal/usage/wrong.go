package usage

import (
	"errors"
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// Error is a wrong call: an unknown command or flag, a wrong value.
type Error struct {
	err     error
	Command string // whose help to read
}

func (e *Error) Error() string { return e.err.Error() }
func (e *Error) Unwrap() error { return e.err }

// Wrong returns the error of a wrong call of a command.
func Wrong(cmd *cobra.Command, err error) error {
	return &Error{err: err, Command: cmd.CommandPath()}
}

// UnknownCommand returns the error of a command that does not exist below cmd, with
// the commands that are spelt almost like it.
func UnknownCommand(cmd *cobra.Command, typed string) error {
	if info, err := os.Stat(typed); err == nil && info.Mode().IsRegular() {
		return Wrong(cmd, fmt.Errorf("%q is a file, not a command; did you mean: pleatstat report %s", typed, typed))
	}
	var names []string
	for _, c := range cmd.Commands() {
		if c.IsAvailableCommand() {
			names = append(names, c.Name())
		}
	}
	return Wrong(cmd, NoSuch("command", typed, names))
}

// ColumnType is the type of a flag whose errors already say what was given.
const ColumnType = "column"

// FlagError puts an error of the flag parser into plain words and suggests a flag
// spelt almost like the one typed.
func FlagError(cmd *cobra.Command, err error) error { return Wrong(cmd, flagError(cmd, err)) }

func flagError(cmd *cobra.Command, err error) error {
	var invalid *pflag.InvalidValueError
	if errors.As(err, &invalid) {
		if invalid.GetFlag().Value.Type() == ColumnType {
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
	return NoSuch("flag", "--"+typed, names)
}

// near lists the candidates that s may be a misspelling of.
func near(s string, candidates []string) []string {
	if s == "" {
		return nil
	}
	// cobra ends the name of a command at its first space; names from a log may hold one.
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

// NoSuch returns the error of a name on the command line that does not exist, with
// what may have been meant.
func NoSuch(what, typed string, have []string) error {
	if close := near(typed, have); len(close) > 0 {
		return fmt.Errorf("there is no %s %q; did you mean %s?", what, typed, strings.Join(close, " or "))
	}
	return fmt.Errorf("there is no %s %q; there are %s", what, typed, strings.Join(have, ", "))
}
