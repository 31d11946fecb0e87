package main

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

func newManCommand() *cobra.Command {
	var dir string
	c := &cobra.Command{
		Use:   "man [COMMAND]",
		Short: "Manual pages, to read or to install",
		Long: `Prints the manual page of the program, or of one command, for man to show:

  halfdrop man titrate | man -l -

With --dir all pages are written into a folder, to be installed in the place
where the system keeps section 1 of its manual.`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if dir != "" {
				return writePages(cmd, dir)
			}
			page := cmd.Root()
			if len(args) > 0 {
				found, _, err := page.Find(args)
				if err != nil || found == page {
					return usageError(fmt.Errorf("no command %q", args[0]), "see halfdrop --help")
				}
				page = found
			}
			return doc.GenMan(page, header(), cmd.OutOrStdout())
		},
	}
	c.Flags().StringVar(&dir, "dir", "", "`folder` to write all pages into")
	return c
}

// header leaves the date out, so that the same program writes the same pages.
func header() *doc.GenManHeader {
	return &doc.GenManHeader{Section: "1", Source: "halfdrop " + version(), Manual: "halfdrop"}
}

// writePages writes the pages of all commands.
func writePages(cmd *cobra.Command, dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return withHint(err, "choose another folder with --dir")
	}
	if err := doc.GenManTree(cmd.Root(), header(), dir); err != nil {
		return fmt.Errorf("manual pages: %w", err)
	}
	pages, err := filepath.Glob(filepath.Join(dir, "halfdrop*.1"))
	if err != nil {
		return err
	}
	fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: %d manual pages in %s\n", len(pages), dir)
	return nil
}
