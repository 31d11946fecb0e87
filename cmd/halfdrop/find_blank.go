package main

import (
	"fmt"

	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/textfile"
	"example.org/halfdrop/tui/amount"
	"github.com/spf13/cobra"
)

func newFindBlank() *cobra.Command {
	return &cobra.Command{
		Use:   "blank PLAN",
		Short: "Write the plan of a blank: the same as a plan, without the sample",
		Long: `Writes the plan of the blank run that belongs to a determination: the same water, the
same titrant, and nothing of what is to be found. Whatever else is in the beaker stays in.
halfdrop titrate runs it, and halfdrop titrate --blank RUN subtracts its result
from the determination, with its spread.`,
		Example: "  halfdrop find blank vinegar.toml > blank.toml\n  halfdrop titrate --find --port auto --plan blank.toml --journal blank.jsonl\n  halfdrop titrate --find --port auto --plan vinegar.toml --blank blank.jsonl",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			p, err := planfile.LoadFind(args[0])
			if err != nil {
				return err
			}
			if p, err = amount.BlankOf(p); err != nil {
				return fmt.Errorf("%s: %w", args[0], err)
			}
			from := args[0]
			if from == textfile.StandardInput {
				from = "a plan on standard input"
			}
			return planfile.Write(cmd.OutOrStdout(), p, []string{"The blank of " + from + ": the same water and the same titrant, without the sample."})
		},
	}
}
