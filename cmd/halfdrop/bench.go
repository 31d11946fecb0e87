package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"text/tabwriter"
	"time"

	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/shelf"
	"github.com/spf13/cobra"
)

func newBenchCommand() *cobra.Command {
	var path string
	cmd := &cobra.Command{
		Use:   "bench",
		Short: "What runs have shown of droppers, bottles and electrodes",
		Long: `What runs have shown of the droppers, bottles and electrodes that have a name: it
is where the next run with them begins. A bottle gets its name in the plan, as in
bottle = "B7", with the day it was opened, opened = "2026-11-25", and the dropper
it is dripped with, dropper = "blue". An electrode is named by titrate --electrode.

Readings show what a drop brings: its size times the strength. They never tell the
two apart; that takes a dropper that was weighed, see halfdrop plan dropper, or one
that was used with several bottles. What is known gets less sure with time.

Only a run that ended at rest inside the tolerance, as it was planned, teaches.
The file may be read and edited.`,
		Example: `  halfdrop bench
  halfdrop bench state B7 --molar 1.012 --sd 0.3
  halfdrop bench forget B7`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			b, _, err := openBench(path)
			if err != nil {
				return err
			}
			return showBench(cmd.OutOrStdout(), b, time.Now())
		},
	}
	cmd.PersistentFlags().StringVar(&path, "file", "", "`file` in which it is kept, instead of the one in the data folder")
	cmd.AddCommand(newBenchForget(&path), newBenchState(&path))
	return cmd
}

// openBench reads the file named, or that of the data folder.
func openBench(path string) (b bench.Book, at string, err error) {
	if at = path; at == "" {
		if at, err = shelf.BenchFile(); err != nil {
			return b, at, err
		}
	}
	b, err = shelf.ReadBench(at)
	return b, at, err
}

func newBenchForget(path *string) *cobra.Command {
	var all bool
	cmd := &cobra.Command{
		Use:     "forget NAME",
		Short:   "Forget a dropper, a bottle or an electrode",
		Example: "  halfdrop bench forget B7\n  halfdrop bench forget --all",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			b, at, err := openBench(*path)
			if err != nil {
				return err
			}
			var n int
			switch {
			case all && len(args) == 0:
				n = len(b.Runs) + len(b.Stated)
				b = bench.Book{}
			case all || len(args) == 0:
				return usageError(errors.New("one name is wanted, or --all"), "halfdrop bench lists the names")
			default:
				if n = b.Forget(args[0]); n == 0 {
					return withHint(fmt.Errorf("nothing is known of %q", args[0]), "halfdrop bench lists the names")
				}
			}
			if err := shelf.WriteBench(at, b); err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "forgotten: %d findings\n", n)
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
		Short:   "State the strength of a bottle that was determined otherwise",
		Example: "  halfdrop bench state B7 --molar 1.012 --sd 0.3",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			s.Bottle, s.At = strings.TrimSpace(args[0]), time.Now().Truncate(time.Second)
			if err := plainWords("BOTTLE", s.Bottle); err != nil {
				return err
			}
			try := bench.Book{Stated: []bench.Stated{s}}
			if err := try.Valid(); err != nil {
				return usageError(err, "as in: halfdrop bench state B7 --molar 1.012 --sd 0.3")
			}
			b, at, err := openBench(*path)
			if err != nil {
				return err
			}
			b.State(s)
			if err := shelf.WriteBench(at, b); err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "bottle %s: %s mol/L ± %s %%\n", s.Bottle, phrase.Sig(s.Molar, 4), phrase.Sig(s.SDPct, 2))
			return nil
		},
	}
	cmd.Flags().Float64Var(&s.Molar, "molar", 0, "its strength in mol/L")
	cmd.Flags().Float64Var(&s.SDPct, "sd", 0.5, "how sure that is, %")
	return cmd
}

// showBench says what is known, how surely and from which runs.
func showBench(w io.Writer, b bench.Book, now time.Time) error {
	known := b.Known(now)
	if len(known) == 0 && len(b.Stated) == 0 && !hasElectrode(b) {
		_, err := fmt.Fprintln(w, "nothing is known yet: runs teach when bottles, droppers and the electrode have names")
		return err
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	if len(known) > 0 {
		fmt.Fprint(t, "dropper\tbottle\tof\tmol/L\tµL\tµmol a drop\t± %\tof the labels\truns\tlast\n")
	}
	for _, k := range known {
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%.3f\t%d\t%s\n", orIts(k.Dropper), k.Bottle, k.Reagent, phrase.Sig(k.Molar, 4), phrase.Sig(k.DropUL, 3),
			phrase.Sig(k.Umol, 4), phrase.Sig(k.SDPct, 2), k.Umol/(k.Molar*k.DropUL), len(k.Runs), k.Last.Format(time.DateOnly))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	if len(known) > 0 {
		fmt.Fprintln(w, "\nReadings show what a drop brings, not its size and the strength by themselves. As far as they can be told apart:")
	}
	for _, k := range known {
		fmt.Fprintf(w, "  %s with %s: %s µL ± %s %%, %s mol/L ± %s %%\n", orIts(k.Dropper), k.Bottle, phrase.Sig(k.ULNow, 3), phrase.Sig(k.ULSDPct, 2), phrase.Sig(k.MolarNow, 4), phrase.Sig(k.MolarSDPct, 2))
	}
	for _, s := range b.Stated {
		sd, carbon, carbonSD := s.Aged(now)
		fmt.Fprintf(w, "found or stated: bottle %s %s mol/L ± %s %% on %s, by now ± %s %%", s.Bottle, phrase.Sig(s.Molar, 5), phrase.Sig(s.SDPct, 2), s.At.Format(time.DateOnly), phrase.Sig(sd, 2))
		if carbonSD > 0 {
			fmt.Fprintf(w, ", with %s ± %s %% of carbonate", phrase.Sig(carbon, 2), phrase.Sig(carbonSD, 2))
		}
		fmt.Fprintln(w)
	}
	showRuns(w, b)
	for _, c := range b.Contradictions() {
		fmt.Fprintln(w, "note: "+c)
	}
	return nil
}

func hasElectrode(b bench.Book) bool {
	for _, r := range b.Runs {
		if r.Electrode != nil {
			return true
		}
	}
	return false
}

func orIts(dropper string) string {
	if dropper == "" {
		return "its own"
	}
	return dropper
}

// showRuns lists what each run has shown.
func showRuns(w io.Writer, b bench.Book) {
	if len(b.Runs) > 0 {
		fmt.Fprintln(w, "\nfrom these runs:")
	}
	for _, r := range b.Runs {
		fmt.Fprintf(w, "  %s  %s", r.At.Format("2006-01-02 15:04"), r.Plan)
		for _, d := range r.Drops {
			fmt.Fprintf(w, "; %s with %s %s µmol a drop", orIts(d.Dropper), d.Bottle, phrase.Sig(d.Umol, 4))
		}
		if e := r.Electrode; e != nil {
			fmt.Fprintf(w, "; electrode %s %s s", e.Name, phrase.Sig(e.TauS, 2))
		}
		if r.Journal != "" {
			fmt.Fprintf(w, "  (%s)", filepath.Base(r.Journal))
		}
		fmt.Fprintln(w)
	}
}
