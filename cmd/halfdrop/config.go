package main

import (
	"example.org/halfdrop/cmd/manners"
	"github.com/spf13/cobra"
)

func newConfigCommand() *cobra.Command {
	var create bool
	c := &cobra.Command{
		Use:   "config | --create",
		Short: "Your defaults: where they are kept, and what they say",
		Long: `Prints the file with your defaults, and on standard error where it is. It is
kept where the system keeps such files, or where ` + manners.ConfigEnv + ` says. With
--create a file is written in which every default is explained and none is set.`,
		Example: "  halfdrop config --create\n  halfdrop config",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			path, err := manners.ConfigPath()
			if err != nil {
				return err
			}
			if create {
				return manners.CreateConfig(cmd, path)
			}
			return manners.PrintConfig(cmd, path)
		},
	}
	c.Flags().BoolVar(&create, "create", false, "write the file, unless there is one")
	return c
}
