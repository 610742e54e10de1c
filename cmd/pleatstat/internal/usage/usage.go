// Package usage describes how the commands are called: their help, the rules for
// their arguments and flags, and the errors of a wrong call, each with what would be
// right. What a command does is in the command itself.
package usage

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// HelpCommand returns a replacement for the help command of cobra, which does not
// treat an unknown command as an error.
func HelpCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "What a command does and how to call it",
		Long: `help says what a command does and how to call it, the same as --help after
its name; without a name it lists the commands.`,
		Example: `  pleatstat help report`,
		ValidArgsFunction: func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			var names []string
			for _, c := range cmd.Root().Commands() {
				if c.IsAvailableCommand() {
					names = append(names, cobra.CompletionWithDesc(c.Name(), c.Short))
				}
			}
			return names, cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 1 {
				return Wrong(cmd, fmt.Errorf("help takes one command; %q is one too many", args[1]))
			}
			of, _, err := cmd.Root().Find(args)
			if err != nil || len(args) > 0 && of == cmd.Root() {
				return UnknownCommand(cmd.Root(), args[0])
			}
			return of.Help()
		},
	}
}

// Help prints what a command does and how it is called.
func Help(cmd *cobra.Command) error {
	if _, err := fmt.Fprintf(cmd.OutOrStdout(), "%s\n\n", cmp.Or(cmd.Long, cmd.Short)); err != nil {
		return err
	}
	return Print(cmd)
}

// Print prints how a command is called, its examples, sub-commands and flags.
func Print(cmd *cobra.Command) error {
	w := cmd.OutOrStdout()
	var b strings.Builder
	if cmd.HasAvailableSubCommands() {
		fmt.Fprintf(&b, "How to call it:\n  %s COMMAND [flags]\n", cmd.CommandPath())
	} else {
		fmt.Fprintf(&b, "How to call it:\n  %s\n", cmd.UseLine())
	}
	if cmd.HasExample() {
		fmt.Fprintf(&b, "\nExamples:\n%s\n", cmd.Example)
	}
	if cmd.HasAvailableSubCommands() {
		b.WriteString("\nCommands:\n")
		for _, c := range cmd.Commands() {
			if c.IsAvailableCommand() {
				fmt.Fprintf(&b, "  %-12s%s\n", c.Name(), c.Short)
			}
		}
		fmt.Fprintf(&b, "\nMore about one: %s COMMAND --help\n", cmd.CommandPath())
	}
	flagList(&b, "Flags", cmd.LocalFlags())
	flagList(&b, "Flags of every command", cmd.InheritedFlags())
	_, err := io.WriteString(w, b.String())
	return err
}

// flagList prints one line for each flag, in the set's order.
func flagList(b *strings.Builder, title string, flags *pflag.FlagSet) {
	if !flags.HasAvailableFlags() {
		return
	}
	var names, texts []string
	wide := 0
	flags.VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		value, text := pflag.UnquoteUsage(f)
		name := "    --" + f.Name
		if f.Shorthand != "" {
			name = "-" + f.Shorthand + ", --" + f.Name
		}
		if value != "" {
			name += " " + value
		}
		if d := strings.Trim(f.DefValue, "[]"); d != "" && d != "false" && d != "0" {
			text += " (default " + d + ")"
		}
		names, texts = append(names, name), append(texts, text)
		wide = max(wide, len(name))
	})
	fmt.Fprintf(b, "\n%s:\n", title)
	for i := range names {
		fmt.Fprintf(b, "  %-*s  %s\n", wide, names[i], texts[i])
	}
}
