package main

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"

	"pleatstat/cmd/pleatstat/internal/output"
	"pleatstat/cmd/pleatstat/internal/usage"
)

// manCommand writes the manual pages. It is for packagers and hidden from the list of
// commands.
func (a *app) manCommand() *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:     "man --out DIR",
		Short:   "Write manual pages",
		Long:    "man writes one manual page for each command into a folder.",
		Example: "  pleatstat man --out man1 && man man1/pleatstat.1",
		Hidden:  true,
		Args:    usage.Nothing,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if out == "" {
				return usage.Wrong(cmd, fmt.Errorf("man needs --out, the folder to write to"))
			}
			batch := output.NewBatch("man")
			batch.Folder(out, regexp.MustCompile(`^pleatstat(-[a-z]+)?\.1$`))
			for _, c := range append([]*cobra.Command{cmd.Root()}, cmd.Root().Commands()...) {
				if c.Hidden || c.Name() == "help" {
					continue
				}
				var page bytes.Buffer
				header := &doc.GenManHeader{Title: strings.ToUpper(c.CommandPath()), Section: "1", Source: "pleatstat " + version, Date: new(time.Time)}
				if err := doc.GenMan(c, header, &page); err != nil {
					return err
				}
				name := strings.ReplaceAll(c.CommandPath(), " ", "-") + ".1"
				if err := batch.AddOwn(output.File{Name: name, Data: page.Bytes()}); err != nil {
					return err
				}
			}
			return batch.Commit(cmd.Context())
		},
	}
	cmd.Flags().StringVarP(&out, "out", "o", "", "`DIR` for the pages")
	return cmd
}
