package main

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/shelf"
	"github.com/spf13/cobra"
)

func newBenchCommand() *cobra.Command {
	var path string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "bench",
		Short: "What runs have shown of droppers, bottles and electrodes",
		Long: `What runs have shown of the droppers, bottles and electrodes that have a name: it
is where the next run with them starts. A bottle gets its name in the plan, as in
bottle = "B7", with the day it was opened, opened = "2026-11-25", and the dropper
it is used with, dropper = "blue". An electrode is named by titrate --electrode.

Readings show what a drop brings: its size times the strength. They never tell the
two apart; that takes a dropper that was weighed, see halfdrop plan dropper, or one
used with several bottles. Of a bottle given in mL it is the strength that is remembered,
as the pipette or burette measures it. What is known becomes less certain with time.

Only a run that ended at rest, within the tolerance and as planned, counts.
The file may be read and edited.`,
		Example: `  halfdrop bench
  halfdrop bench state B7 --molar 1.012 --sd 0.3
  halfdrop bench forget B7`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			b, _, err := shelf.OpenBench(path)
			if err != nil {
				return err
			}
			if asJSON {
				return bench.WriteJSON(cmd.OutOrStdout(), b, time.Now())
			}
			return paged(cmd, func(out io.Writer) error { return bench.WriteText(out, b, time.Now()) })
		},
	}
	for _, name := range []string{"bench", "file"} { // as titrate and advise call it, and as it was called here
		cmd.PersistentFlags().StringVar(&path, name, "", "`file` that keeps it, instead of the one in the data folder")
	}
	_ = cmd.PersistentFlags().MarkHidden("file")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print what is known as JSON")
	cmd.AddCommand(newBenchForget(&path), newBenchState(&path))
	return cmd
}

func newBenchForget(path *string) *cobra.Command {
	var all bool
	cmd := &cobra.Command{
		Use:     "forget NAME",
		Short:   "Forget a dropper, a bottle or an electrode",
		Example: "  halfdrop bench forget B7\n  halfdrop bench forget --all",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			b, at, err := shelf.OpenBench(*path)
			if err != nil {
				return err
			}
			var n int
			switch {
			case all && len(args) == 0:
				n = len(b.Runs) + len(b.Stated)
				b = bench.Book{}
			case all || len(args) == 0:
				return usageError(errors.New("give one name, or --all"), "halfdrop bench lists the names")
			default:
				if n = b.Forget(args[0]); n == 0 {
					return withHint(fmt.Errorf("nothing is known of %q", args[0]), "halfdrop bench lists the names")
				}
			}
			if err := shelf.WriteBench(at, b); err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "forgotten: %s\n", phrase.Counted(n, "finding"))
			return nil
		},
	}
	cmd.Flags().BoolVar(&all, "all", false, "forget everything")
	return cmd
}

func newBenchState(path *string) *cobra.Command {
	var s bench.Stated
	cmd := &cobra.Command{
		Use:     "state BOTTLE",
		Short:   "State the strength of a bottle that was determined by other means",
		Example: "  halfdrop bench state B7 --molar 1.012 --sd 0.3",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			s.Bottle, s.At = strings.TrimSpace(args[0]), time.Now().Truncate(time.Second)
			if err := plainWords("BOTTLE", s.Bottle); err != nil {
				return err
			}
			switch {
			case !cmd.Flags().Changed("molar"):
				return usageError(errors.New("--molar is missing: the strength of the bottle in mol/L"), "as in halfdrop bench state B7 --molar 1.012 --sd 0.3")
			case !(s.Molar > 0):
				return usageError(fmt.Errorf("--molar %g: it must be above zero", s.Molar), "give the strength in mol/L")
			case !(s.SDPct > 0):
				return usageError(fmt.Errorf("--sd %g: it must be above zero", s.SDPct), "per cent, one standard deviation; 0.5 where nothing better is known")
			}
			try := bench.Book{Stated: []bench.Stated{s}}
			if err := try.Valid(); err != nil {
				return usageError(err, "as in: halfdrop bench state B7 --molar 1.012 --sd 0.3")
			}
			b, at, err := shelf.OpenBench(*path)
			if err != nil {
				return err
			}
			b.State(s)
			if err := shelf.WriteBench(at, b); err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "bottle %s: %s mol/L ± %s %%\n", s.Bottle, chem.Digits(s.Molar, 4), chem.Digits(s.SDPct, 2))
			return nil
		},
	}
	cmd.Flags().Float64Var(&s.Molar, "molar", 0, "its strength in mol/L")
	cmd.Flags().Float64Var(&s.SDPct, "sd", 0.5, "how sure that is, %")
	return cmd
}
