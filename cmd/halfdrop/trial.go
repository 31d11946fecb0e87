package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime"
	"strings"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/hands"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/trial"
	"github.com/spf13/cobra"
)

// trialFlags are the flags of halfdrop trial.
type trialFlags struct {
	runs, workers, wrong int
	tier, strategies     string
	hands                string
	seed, story          uint64
	csv, json            bool
	faults               bool
	sound                int
	remembered           bool
	unweighed            string
}

func newTrialCommand() *cobra.Command {
	var f trialFlags
	cmd := &cobra.Command{
		Use:   "trial [--tier NAME] [--runs N] | --story SEED",
		Short: "The coach against other strategies over many virtual benches",
		Long: `Plays many random virtual benches with several strategies, second by second,
and prints how the buffers turned out. The same seed gives the same table.

The tiers are ordinary (usual care, a healthy electrode), harsh (unknown dropper,
old stocks, a slow electrode, and a gross mistake in half of the runs), and the
electrodes and hands that were measured elsewhere: laboratory, student, old,
pick-up (of two values) and gaps (in what the meter sends). Drops fall one by one,
and are put on record some seconds after the last; --hands at-once records each addition as it is given.

The strategies are, with --strategies NAME or several separated by commas:

` + strategyList(trial.Strategies()) + `
By name only, values that a person reads off a display and types every 20 to 60 s:

` + strategyList(trial.ByHand()),
		Example: `  halfdrop trial --runs 200
  halfdrop trial --tier harsh --strategies coach,limit --csv
  halfdrop trial --tier harsh --story 17
  halfdrop trial --runs 200 --strategies hand,hand-passing`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			story := cmd.Flags().Changed("story")
			if story { // by the coach, unless other strategies are named
				f.strategies = cmp.Or(f.strategies, "coach")
			}
			o, err := f.options()
			out, talk := cmd.OutOrStdout(), cmd.ErrOrStderr()
			switch {
			case err != nil:
				return err
			case story:
				return f.tell(o, out)
			case f.faults:
				return f.confuse(cmd.Context(), o, out, talk)
			case f.unweighed != "":
				return f.unknown(o, out)
			case f.remembered:
				return again(o, out)
			}
			return f.play(cmd.Context(), o, out, talk)
		},
	}
	fl := cmd.Flags()
	fl.IntVar(&f.runs, "runs", 1000, "how many benches")
	fl.StringVar(&f.tier, "tier", "ordinary", "one of "+strings.Join(trial.TierNames(), ", "))
	fl.StringVar(&f.hands, "hands", "drip", "how additions are given: drip or at-once")
	fl.Uint64Var(&f.seed, "seed", 1, "seed of the first bench; the others follow")
	fl.StringVar(&f.strategies, "strategies", "", "names separated by commas; default: all")
	fl.IntVar(&f.workers, "workers", runtime.NumCPU(), "benches played at the same time")
	fl.IntVar(&f.wrong, "wrong", 0, "list up to this many benches that went wrong for the coach")
	fl.Uint64Var(&f.story, "story", 0, "play only the bench of this seed and print every second of it")
	fl.BoolVar(&f.faults, "faults", false, "instead of strategies: which fault the readings name first, for each fault on --runs benches")
	fl.BoolVar(&f.remembered, "remembered", false, "instead of strategies: each bench twice, the second time with what the first showed of dropper, bottles and electrode")
	fl.StringVar(&f.unweighed, "unweighed", "", "instead of strategies: beakers of unknown composition, of one system (alone) or of two (mixed)")
	fl.IntVar(&f.sound, "sound", 1000, "with --faults: how many sound benches")
	fl.BoolVar(&f.csv, "csv", false, "the table as CSV")
	fl.BoolVar(&f.json, "json", false, "the table as JSON, each bench included")
	return cmd
}

// strategyList is a line a strategy: its name and what it does.
func strategyList(list []trial.Strategy) string {
	var b strings.Builder
	for _, s := range list {
		fmt.Fprintf(&b, "  %-14s%s\n", s.Name, s.Title)
	}
	return b.String()
}

// options checks the flags.
func (f *trialFlags) options() (trial.Options, error) {
	o := trial.Options{Runs: f.runs, Seed: f.seed, Workers: f.workers}
	var err error
	if o.Tier, err = trial.ParseTier(f.tier); err != nil {
		return o, usageError(err)
	}
	kind, ok := hands.Parse(f.hands)
	if !ok {
		return o, usageError(fmt.Errorf("--hands %q: must be drip or at-once", f.hands))
	}
	o.AtOnce = kind == hands.AtOnce
	if o.Strategies, err = trial.ParseStrategies(f.strategies); err != nil {
		return o, usageError(err, "see halfdrop trial --help")
	}
	if f.csv && f.json {
		return o, usageError(errors.New("--csv and --json exclude each other"))
	}
	if f.runs < 1 || f.runs > 1_000_000 {
		return o, usageError(fmt.Errorf("--runs %d: must be 1 to 1000000", f.runs))
	}
	return o, nil
}

// tell plays one bench and tells its story.
func (f *trialFlags) tell(o trial.Options, out io.Writer) error {
	for _, s := range o.Strategies {
		if _, err := trial.Story(out, o.Tier, o.AtOnce, f.story, s); err != nil {
			return err
		}
	}
	return nil
}

// unknown plays benches on which nobody knows what is in the beaker.
func (f *trialFlags) unknown(o trial.Options, out io.Writer) error {
	if f.unweighed != "alone" && f.unweighed != "mixed" {
		return usageError(fmt.Errorf("--unweighed %q: must be alone or mixed", f.unweighed))
	}
	t, err := trial.RunUnweighed(o, f.unweighed == "mixed")
	if err != nil {
		return err
	}
	return f.write(out, t)
}

// again plays every bench twice.
func again(o trial.Options, out io.Writer) error {
	a, err := trial.RunAgain(o, trial.Changes())
	if err != nil {
		return err
	}
	return a.WriteText(out)
}

func (f *trialFlags) play(ctx context.Context, o trial.Options, out, talk io.Writer) error {
	o.Progress = f.progress(talk)
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt)
	defer stop()
	table, failed := trial.Run(ctx, o)
	f.clearProgress(talk)
	interrupted := ctx.Err() != nil
	if failed != nil && !interrupted {
		return failed
	}
	if err := f.write(out, table); err != nil {
		return err
	}
	if interrupted {
		return &remedy.Error{Kind: remedy.Interrupted, Err: fmt.Errorf("interrupted: %d of %d benches were played", table.Runs, o.Runs)}
	}
	return nil
}

func (f *trialFlags) write(out io.Writer, t trial.Table) error {
	switch {
	case f.csv:
		return t.WriteCSV(out)
	case f.json:
		return t.WriteJSON(out)
	}
	if err := t.WriteText(out); err != nil {
		return err
	}
	if f.wrong > 0 {
		t.WriteFailures(out, f.wrong)
	}
	return nil
}

// progress tells on a terminal how far it is.
func (f *trialFlags) progress(talk io.Writer) func(done, total int) {
	if file := manners.TerminalOf(talk); file != nil {
		return func(done, total int) { fmt.Fprintf(file, "\r%s", progressLine(done, total)) }
	}
	return nil
}

// clearProgress takes the line of progress away.
func (f *trialFlags) clearProgress(talk io.Writer) {
	if file := manners.TerminalOf(talk); file != nil {
		fmt.Fprintf(file, "\r%s\r", strings.Repeat(" ", progressWidth))
	}
}

// progressWidth is the width of the progress line, cells.
const progressWidth = 56

func progressLine(done, total int) string {
	const bar = 30
	n := bar * done / max(total, 1)
	line := fmt.Sprintf("%s%s %d of %d benches", strings.Repeat("█", n), strings.Repeat("░", bar-n), done, total)
	return fmt.Sprintf("%-*s", progressWidth, line)
}

// watchedNote says what the table of faults is about.
const watchedNote = `A careful person follows the coach with half of the advised amount at a time, looks
for half a minute after each addition, looks away once for two minutes and stays
for a few minutes at the end. Each fault has its usual strength (carbon dioxide
five times that) and is there from the start or sets in after one or two minutes.
Left out are benches on which it cannot show: factors within ordinary care, less
than 0.02 pH a minute of carbon dioxide, a hanging drop among more than forty.

`

// confuse plays benches with every fault and prints what was named first.
func (f *trialFlags) confuse(ctx context.Context, o trial.Options, out, talk io.Writer) error {
	names := phrase.Each(sim.Faults(), func(k sim.FaultKind) string { return k.Name })
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt)
	defer stop()
	sights, err := trial.WatchAll(ctx, o.Tier, names, o.Runs, f.sound, o.Seed, o.Workers, f.progress(talk))
	f.clearProgress(talk)
	if err != nil {
		return err
	}
	if _, err := fmt.Fprint(out, watchedNote); err != nil {
		return err
	}
	if err := trial.Name(sights).WriteText(out); err != nil {
		return err
	}
	for i, s := range trial.Wrong(sights) {
		if i >= f.wrong {
			break
		}
		fmt.Fprintf(out, "%s\n", s)
	}
	return nil
}
