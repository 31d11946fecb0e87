package main

import (
	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/phrase"
	"github.com/spf13/cobra"
)

func newManCommand() *cobra.Command {
	var dir string
	c := &cobra.Command{
		Use:   "man [COMMAND]",
		Short: "Manual pages, to read or to install",
		Long: `Prints the manual page of the program, or of one command, for man to show.

With --dir all pages are written into a folder, to be installed in the place
where the system keeps section 1 of its manual.`,
		Example: "  halfdrop man titrate | man -l -\n  halfdrop man --dir ~/.local/share/man/man1",
		Args:    cobra.MaximumNArgs(2),
		RunE: func(cmd *cobra.Command, args []string) error {
			if dir != "" {
				return manners.WritePages(cmd, dir)
			}
			page, err := manners.Command(cmd.Root(), args)
			if err != nil {
				return err
			}
			return manners.WriteManPage(cmd.OutOrStdout(), page)
		},
		ValidArgsFunction: func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			at := cmd.Root()
			if found, _, err := at.Find(args); err == nil {
				at = found
			}
			return phrase.Each(at.Commands(), func(sub *cobra.Command) string { return sub.Name() + "\t" + sub.Short }), cobra.ShellCompDirectiveNoFileComp
		},
	}
	c.Flags().StringVar(&dir, "dir", "", "`folder` to write all pages into")
	return c
}
