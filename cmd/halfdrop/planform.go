package main

import "github.com/spf13/cobra"

func planForm(cmd *cobra.Command) error { return cmd.Help() }
