package main

import (
	"fmt"
	"io"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/textfile"
	"example.org/halfdrop/tui/amount"
	"github.com/spf13/cobra"
)

func newFindCommand() *cobra.Command {
	c := &cobra.Command{
		Use:   "find",
		Short: "Find the strength of a bottle, or what is in a sample: what to weigh, and repeats",
		Long: `A plan with a [find] table determines an amount instead of reaching a pH: the strength of a
titrant against a weighed primary standard, the amount of a known acid or base in a
sample, or pK and amount of an unknown weak one. halfdrop titrate runs it.

find example writes such a plan to start from, find check says before anything is
weighed where the equivalence point will be, how well the answer can be known and
what limits that, find blank writes the plan of its blank, and find
pool combines repeats.`,
		Example: `  halfdrop find example > naoh.toml
  halfdrop find check naoh.toml
  halfdrop titrate --plan naoh.toml --sim`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	c.AddCommand(newFindExample(), newFindCheck(), newFindBlank(), newFindPool())
	return c
}

func newFindExample() *cobra.Command {
	return &cobra.Command{
		Use:     "example",
		Short:   "Write a plan to start from: a base against potassium hydrogen phthalate",
		Example: "  halfdrop find example > naoh.toml",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			_, err := cmd.OutOrStdout().Write(planfile.FindDemo)
			return err
		},
	}
}

func newFindCheck() *cobra.Command {
	var blank string
	var asJSON bool
	c := &cobra.Command{
		Use:   "check PLAN",
		Short: "Where the equivalence point will be, how well the answer can be known, and what limits it",
		Long: `Says before anything is weighed where the equivalence point will be, how well the
answer can be known on this bench, what limits that, and which indicator would do. A
plan without an equivalence point within reach, or with a standard that is not one, is
refused, with what would work. With --blank the result of a blank run is subtracted,
with its spread, as titrate --blank does. The plan of a blank is checked like any other.`,
		Example: "  halfdrop find check naoh.toml\n  halfdrop find check --blank blank.jsonl naoh.toml",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			p, err := planfile.LoadFind(args[0])
			if err == nil && blank != "" {
				p, err = amount.Subtracting(p, blank)
			}
			if err != nil {
				return err
			}
			setup, err := recipe.Compile(p)
			if err != nil {
				return err
			}
			if asJSON {
				return amount.WriteJSON(cmd.OutOrStdout(), setup)
			}
			return paged(cmd, func(out io.Writer) error { return amount.Tell(out, setup) })
		},
	}
	c.Flags().StringVar(&blank, "blank", "", "journal of a blank `run`, subtracted with its spread; see halfdrop find blank")
	c.Flags().BoolVar(&asJSON, "json", false, "print one JSON object")
	return c
}

func newFindPool() *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "pool RUN [RUN…]",
		Short: "Combine repeats: mean, confidence interval, and Grubbs' test for an outlier",
		Long: `Combines the answers of several runs: their mean with its 95 % confidence
interval by Student's t, and the part of the spread that all share (balance,
burette, meter), which repeats do not reduce. The value farthest from the mean is
tested by Grubbs' test at 5 % (F. E. Grubbs, Technometrics 11, 1, 1969). An outlier is
named, never removed: look for its cause first.`,
		Example: "  halfdrop find pool monday.jsonl tuesday.jsonl wednesday.jsonl",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return paged(cmd, func(out io.Writer) error { return amount.Pool(out, args, asJSON) })
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print one JSON object")
	return c
}

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
