package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/usage"
)

// completionShells lists the shells with a completion script.
var completionShells = []string{"bash", "zsh", "fish", "powershell"}

// completionCommand replaces the command that cobra would add.
func (a *app) completionCommand() *cobra.Command {
	var plain bool
	cmd := &cobra.Command{
		Use:   "completion SHELL [flags]",
		Short: "Completion of commands, flags, makers and parts for your shell",
		Long: `completion prints the script by which your shell completes commands, flags,
columns, makers and parts when you press Tab. SHELL is bash, zsh, fish or
powershell. A line in the file that the shell reads at its start loads it:

  bash        in ~/.bashrc; needs the package bash-completion
              source <(pleatstat completion bash)
  zsh         in ~/.zshrc, after the line "autoload -U compinit; compinit"
              source <(pleatstat completion zsh)
  fish        in ~/.config/fish/config.fish
              pleatstat completion fish | source
  powershell  in the file that $PROFILE names
              pleatstat completion powershell | Out-String | Invoke-Expression

It works from the next shell you open. The same line typed at the prompt loads
it for the shell you are in.`,
		Example: `  pleatstat completion bash
  pleatstat completion fish > pleatstat.fish`,
		ValidArgs: completionShells,
		Args: func(cmd *cobra.Command, args []string) error {
			switch len(args) {
			case 0:
				return usage.Wrong(cmd, fmt.Errorf("completion needs a shell: %s", strings.Join(completionShells, ", ")))
			case 1:
				return nil
			}
			return usage.Wrong(cmd, fmt.Errorf("completion takes one shell; %q is one too many", args[1]))
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			switch root := cmd.Root(); {
			case args[0] == "bash":
				return root.GenBashCompletionV2(a.Out, !plain)
			case args[0] == "zsh" && plain:
				return root.GenZshCompletionNoDesc(a.Out)
			case args[0] == "zsh":
				return root.GenZshCompletion(a.Out)
			case args[0] == "fish":
				return root.GenFishCompletion(a.Out, !plain)
			case args[0] == "powershell" && plain:
				return root.GenPowerShellCompletion(a.Out)
			case args[0] == "powershell":
				return root.GenPowerShellCompletionWithDesc(a.Out)
			}
			return usage.Wrong(cmd, fmt.Errorf("there is no completion for the shell %q; there is one for %s", args[0], strings.Join(completionShells, ", ")))
		},
	}
	cmd.Flags().BoolVar(&plain, "no-descriptions", false, "offer names alone, without what they are")
	return cmd
}
