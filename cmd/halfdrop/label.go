package main

import (
	"math"

	"github.com/spf13/cobra"

	"example.org/halfdrop/tui/past"
)

func newLabelCommand() *cobra.Command {
	l := &past.Label{}
	c := &cobra.Command{
		Use:   "label FILE",
		Short: "The label of a run, with the reading after making up",
		Long: `Prints the label of a run. A label carries what was read of the finished solution,
made up to its mark and mixed: --read puts that reading into the journal, as an
event of its own after the end of the run. On a terminal it is asked for if there is
none yet; an empty line leaves it open, and the label says so.

A solution that was not read within its tolerance has that written across its
label. The label of a run that determined an amount is that of the bottle, or of the
sample: the answer with its spread and its date.`,
		Example: "  halfdrop label run.jsonl --read 7.41 --temp 4.0 --by AB\n  halfdrop label run.jsonl",
		Args:    cobra.ExactArgs(1),
		RunE:    func(cmd *cobra.Command, args []string) error { return l.Make(lookingBack(cmd), args[0]) },
	}
	f := c.Flags()
	f.Float64Var(&l.PH, "read", math.NaN(), "`pH` of the finished solution, made up and mixed")
	f.Float64Var(&l.TempC, "temp", math.NaN(), "temperature at which it was read, `°C`")
	f.StringVar(&l.By, "by", "", "`name` of who read it")
	return c
}
